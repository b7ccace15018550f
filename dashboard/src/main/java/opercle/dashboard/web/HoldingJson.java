// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.Band;
import opercle.analysis.farm.Tank;
import opercle.analysis.holding.HoldingLimits;
import opercle.analysis.holding.HoldingNow;
import opercle.analysis.holding.NextThing;
import opercle.analysis.holding.SaltDose;
import opercle.analysis.holding.TopUp;
import opercle.analysis.holding.WasteJudgement;
import opercle.analysis.records.TankEntry;

/** What has built up in holding tanks, as JSON. */
final class HoldingJson {

  /** Un-ionised ammonia is told in thousandths, and its third place counts. */
  private static final double DECIMALS = 1.0e5;

  private HoldingJson() {}

  private static ObjectNode object() {
    return JsonNodeFactory.instance.objectNode();
  }

  /** One tank; without fish only what still runs there. */
  static ObjectNode part(
      Tank tank, Optional<HoldingNow> now, List<TankEntry.Treatment> withdrawals) {
    ObjectNode node = object();
    node.put("tank", tank.id()).put("name", tank.name());
    node.put("stocked", now.isPresent()).put("waterLitres", tank.waterLitres());
    now.ifPresent(n -> built(node, tank, n));
    ArrayNode running = node.putArray("withdrawals");
    for (TankEntry.Treatment t : withdrawals) {
      ObjectNode one = running.addObject();
      one.put("what", t.what()).put("given", t.where().time().toString());
      t.withdrawal().ifPresent(words -> one.put("words", words));
      t.until().ifPresent(day -> one.put("until", day.toString()));
      if (!t.where().tank().equals(tank.id())) {
        one.put("givenAt", t.where().name().orElse(t.where().tank()));
      }
    }
    return node;
  }

  private static void built(ObjectNode node, Tank tank, HoldingNow now) {
    HoldingLimits limits = now.limits();
    node.put("at", now.at().toString());
    Json.put(node, "daysHeld", now.daysHeld());
    node.put("daysLimit", limits.days()).put("daysAreTheKeepers", limits.daysAreTheKeepers());
    node.put("densityKgPerM3", Json.rounded(now.densityKgPerM3()));
    node.put("density", now.density().name().toLowerCase(Locale.ROOT));
    node.set("densityGuideKgPerM3", band(now.densityGuideKgPerM3()));
    now.tan().ifPresent(v -> node.set("tanMgPerL", value(v)));
    now.ph().ifPresent(v -> node.set("ph", value(v)));
    now.ammonia()
        .ifPresent(v -> node.set("ammoniaMgPerL", value(v).put("limit", limits.ammoniaMgPerL())));
    now.carbonDioxide()
        .ifPresent(
            v ->
                node.set(
                    "carbonDioxideMgPerL", value(v).put("limit", limits.carbonDioxideMgPerL())));
    node.set("saltGPerKg", value(now.saltGPerKg()));
    node.put("temperatureC", Json.rounded(now.temperatureC()));
    WasteJudgement.of(now, false).ifPresent(w -> node.put("waste", w.fact()));
    ArrayNode next = node.putArray("next");
    NextThing.of(tank, now).forEach(next::add);
    ArrayNode assumptions = node.putArray("assumptions");
    now.assumptions().forEach(assumptions::add);
    node.put("ammoniaSource", HoldingLimits.AMMONIA.toString());
    node.put("carbonDioxideSource", HoldingLimits.CARBON_DIOXIDE.toString());
  }

  private static ObjectNode value(HoldingNow.Value value) {
    return band(value.band())
        .put("basis", value.basis().id())
        .put("since", value.since().toString())
        .put("method", value.method());
  }

  private static ObjectNode band(Band band) {
    return object()
        .put("low", fine(band.low()))
        .put("likely", fine(band.likely()))
        .put("high", fine(band.high()));
  }

  private static double fine(double value) {
    return Math.round(value * DECIMALS) / DECIMALS;
  }

  /** How much salt. */
  static ObjectNode dose(SaltDose dose, double litres, double now, double target) {
    ObjectNode node = object();
    node.put("type", "salt-dose");
    node.put("litres", litres).put("nowGPerL", fine(now)).put("targetGPerL", target);
    node.put("kg", Json.rounded(dose.kg()));
    dose.use().ifPresent(use -> node.put("use", use.words()));
    node.put("saturationBeforeMgPerL", Json.rounded(dose.saturationBeforeMgPerL()));
    node.put("saturationAfterMgPerL", Json.rounded(dose.saturationAfterMgPerL()));
    node.put("conductivityStepMSPerCm", Json.rounded(dose.conductivityStepMSPerCm()));
    node.put("probes", dose.probes());
    node.put("mind", SaltDose.mind(target));
    return node;
  }

  /** How to fill up a tank that has lost water. */
  static ObjectNode topUp(TopUp topUp, TankEntry.TopUp.Lost lost) {
    return object()
        .put("type", "top-up")
        .put("litres", Json.rounded(topUp.litres()))
        .put("lost", lost.id())
        .put("nowGPerL", fine(topUp.nowGPerL()))
        .put("afterGPerL", fine(topUp.afterGPerL()))
        .put("targetGPerL", fine(topUp.targetGPerL()))
        .put("saltKg", fine(topUp.saltKg()))
        .put("changeLitres", Math.ceil(topUp.changeLitres()));
  }

  /** How much water to change, and the salt that goes with it. */
  static ObjectNode change(
      String of,
      double now,
      double target,
      OptionalDouble litres,
      double waterLitres,
      double saltGPerKg) {
    ObjectNode node = object();
    node.put("type", "water-change");
    node.put("of", of).put("now", fine(now)).put("target", fine(target));
    if (litres.isPresent()) {
      double amount = litres.getAsDouble();
      node.put("litres", Math.ceil(amount)).put("share", Json.rounded(amount / waterLitres));
      if (!of.equals("salt")) {
        node.put("saltToReplaceKg", Json.rounded(amount * saltGPerKg / 1000.0));
      }
    }
    return node;
  }
}
