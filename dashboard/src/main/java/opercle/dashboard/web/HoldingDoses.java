// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import io.javalin.config.RoutesConfig;
import io.javalin.http.Context;
import java.math.BigDecimal;
import java.math.MathContext;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.farm.Tank;
import opercle.analysis.holding.HoldingNow;
import opercle.analysis.holding.SaltDose;
import opercle.analysis.holding.TopUp;
import opercle.analysis.holding.WaterExchange;
import opercle.analysis.records.TankEntry.TopUp.Lost;
import opercle.analysis.water.AirPressure;

/**
 * How much salt, how much water to change, how to top up: worked out for a tank from what is known
 * of it and what somebody asks. Writes nothing. For any thread; may wait for a disk.
 */
final class HoldingDoses {

  private static final double USUAL_SALT_G_PER_L = 2.0;

  /** Of a tank that is topped up without more words; the pages always say how much. */
  private static final double USUAL_SHARE = 0.05;

  private final LiveFarm live;
  private final HoldingSight sight;

  HoldingDoses(LiveFarm live, HoldingSight sight) {
    this.live = live;
    this.sight = sight;
  }

  void routes(RoutesConfig routes) {
    routes.get("/api/v1/tanks/{id}/salt", this::salt);
    routes.get("/api/v1/tanks/{id}/water-change", this::waterChange);
    routes.get("/api/v1/tanks/{id}/top-up", this::topUp);
  }

  private void salt(Context ctx) {
    Tank tank = Api.tank(ctx, live);
    Optional<HoldingNow> now = sight.estimate(tank, sight.records());
    Map<String, List<String>> query = ctx.queryParamMap();
    double target =
        number(query, "targetGPerL", "Wanted", 0.0, 35.0, "g/L").orElse(USUAL_SALT_G_PER_L);
    double litres = number(query, "litres", "Water", 1.0, 1.0e7, "L").orElse(tank.waterLitres());
    double is =
        number(query, "nowGPerL", "Salt now", 0.0, 35.0, "g/L")
            .orElseGet(() -> sight.salt(now, tank));
    double celsius =
        number(query, "temperatureC", "Water", 0.0, 38.0, "°C")
            .orElse(now.map(HoldingNow::temperatureC).orElse(10.0));
    Api.answer(
        ctx,
        HoldingJson.dose(
            SaltDose.of(
                litres,
                Math.min(35.0, is),
                target,
                celsius,
                AirPressure.atAltitudeKPa(live.farm().altitudeM())),
            litres,
            is,
            target));
  }

  private void waterChange(Context ctx) {
    Tank tank = Api.tank(ctx, live);
    Optional<HoldingNow> now = sight.estimate(tank, sight.records());
    Map<String, List<String>> query = ctx.queryParamMap();
    String of = Span.one(query, "of").orElse("ammonia");
    Optional<HoldingNow.Value> value =
        switch (of) {
          case "ammonia" -> now.flatMap(HoldingNow::tan);
          case "carbon-dioxide" -> now.flatMap(HoldingNow::carbonDioxide);
          case "salt" -> now.map(HoldingNow::saltGPerKg);
          default ->
              throw Problem.misread(
                  "of: must be ammonia, carbon-dioxide or salt but was '%s'.".formatted(of));
        };
    OptionalDouble is = number(query, "now", "Measured now", 0.0, 1000.0, "");
    if (is.isEmpty() && value.isEmpty() && !of.equals("salt")) {
      throw Problem.conflict(
          "How much there is now is not known, so no change can be worked out. Test the water first.");
    }
    double salt = sight.salt(now, tank);
    double fresh =
        number(query, "fresh", "What the fresh water holds", 0.0, 1000.0, "").orElse(0.0);
    double from = is.orElse(value.map(v -> v.band().likely()).orElse(salt));
    double target = number(query, "target", "To", 0.0, 1000.0, "").orElse(from / 2.0);
    OptionalDouble litres = WaterExchange.litresToReach(from, target, fresh, tank.waterLitres());
    Api.answer(ctx, HoldingJson.change(of, from, target, litres, tank.waterLitres(), salt));
  }

  private void topUp(Context ctx) {
    Tank tank = Api.tank(ctx, live);
    Map<String, List<String>> query = ctx.queryParamMap();
    double full = tank.waterLitres();
    double most = TopUp.MOST_SHARE * full;
    OptionalDouble cm = number(query, "cm", "Gone down by", 0.1, 50.0 * tank.depthM(), "cm");
    double litres =
        number(query, "litres", "Missing", 0.1, most, "L")
            .orElse(
                cm.orElse(USUAL_SHARE * 100.0 * tank.depthM()) / (100.0 * tank.depthM()) * full);
    String word = Span.one(query, "lost").orElse(Lost.EVAPORATED.id());
    Lost lost =
        Lost.of(word)
            .orElseThrow(
                () ->
                    Problem.misread(
                        "lost: must be evaporated or ran-out but was '%s'.".formatted(word)));
    HoldingNow.Value salt = sight.saltNow(sight.estimate(tank, sight.records()), tank);
    Api.answer(
        ctx,
        HoldingJson.topUp(
            TopUp.of(
                full,
                litres,
                lost,
                Math.min(35.0, salt.band().likely()),
                salt.basis() == HoldingNow.Basis.MEASURED,
                number(query, "targetGPerL", "Salt wanted", 0.0, 35.0, "g/L")),
            lost));
  }

  private static OptionalDouble number(
      Map<String, List<String>> query,
      String name,
      String words,
      double least,
      double most,
      String unit) {
    Optional<String> text = Span.one(query, name);
    if (text.isEmpty()) {
      return OptionalDouble.empty();
    }
    double value;
    try {
      value = Double.parseDouble(text.get());
    } catch (NumberFormatException e) {
      value = Double.NaN;
    }
    if (!(value >= least && value <= most)) {
      String limit = "must be %s–%s %s".formatted(figure(least), figure(most), unit).strip();
      throw Problem.wrongField(
          "%s: %s.".formatted(words, limit),
          "/" + name,
          "%s: %s but was '%s'.".formatted(name, limit, text.get()));
    }
    return OptionalDouble.of(value);
  }

  private static String figure(double value) {
    return new BigDecimal(value).round(new MathContext(3)).stripTrailingZeros().toPlainString();
  }
}
