// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.plan;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.DoubleFunction;
import java.util.stream.Stream;
import opercle.analysis.farm.Tank.Diffuser;

/** Other loads and tanks: what would be GO, found by trying. */
final class Alternatives {

  private static final int HALVINGS = 12;

  /** Thirty doublings halved so often leave a factor of 1.0002. */
  private static final int LOAD_HALVINGS = 17;

  private static final double MOST_WATER = 10.0;

  /** Between more tanks than this nobody shares a load (<i>common practice</i>). */
  private static final int MOST_TANKS = 4;

  /** What a tank may take above its usual filling, as a factor (<i>common practice</i>). */
  private static final double A_LITTLE_MORE = 1.1;

  private static final double COOLEST_C = 2.0;

  private final LoadPlanRequest request;

  Alternatives(LoadPlanRequest request) {
    this.request = request;
  }

  /** The largest load of the same mixture that gets this verdict or better, kg. */
  OptionalDouble largestLoadKg(Verdict wanted) {
    DoubleFunction<LoadPlanRequest> with =
        f -> request.toBuilder().load(request.load().times(f)).build();
    double kg = request.load().kg();
    double good = 1.001 * LoadPlanRequest.LEAST_KG / kg;
    double bad = 0.999 * LoadPlanRequest.MOST_KG / kg;
    if (!isNotTooMuch(with.apply(good), wanted)) {
      return OptionalDouble.empty();
    }
    for (int i = 0; i < LOAD_HALVINGS; i++) {
      double middle = Math.sqrt(good * bad); // from a gram to a thousand tonnes: by factors
      if (isNotTooMuch(with.apply(middle), wanted)) {
        good = middle;
      } else {
        bad = middle;
      }
    }
    // A set flow may be too much for so few fish: then there is no such load.
    return verdict(with.apply(good)).compareTo(wanted) <= 0
        ? OptionalDouble.of(good * kg)
        : OptionalDouble.empty();
  }

  /**
   * Single changes that reach GO; where none does, those that reach GO_WITH_CARE. A larger tank,
   * which few have, is named only where nothing else would do.
   */
  List<Remedy> remedies(Verdict now) {
    for (Verdict wanted : Verdict.values()) {
      if (wanted.compareTo(now) < 0) {
        List<Remedy> found =
            Stream.of(
                    lessFish(wanted),
                    moreWater(wanted),
                    cooler(wanted),
                    anotherCylinder(wanted),
                    finerDiffuser(wanted),
                    otherFlow(wanted))
                .flatMap(Optional::stream)
                .toList();
        if (!found.isEmpty()) {
          return found;
        }
      }
    }
    return Stream.of(Verdict.values())
        .filter(wanted -> wanted.compareTo(now) < 0)
        .flatMap(wanted -> largerTank(wanted).stream())
        .limit(1)
        .toList();
  }

  private Optional<Remedy> lessFish(Verdict wanted) {
    OptionalDouble kg = largestLoadKg(wanted);
    if (kg.isEmpty() || kg.getAsDouble() >= request.load().kg()) {
      return Optional.empty();
    }
    double rounded = roundedDown(kg.getAsDouble());
    return Optional.of(
        new Remedy(
            Remedy.Kind.LESS_FISH,
            rounded,
            "kg",
            wanted,
            "fewer fish: %s kg".formatted(Say.number(rounded))));
  }

  /** A little more in this tank, or the same fish in several like it. */
  private Optional<Remedy> moreWater(Verdict wanted) {
    OptionalDouble litres = waterLitres(wanted);
    if (litres.isEmpty()) {
      return Optional.empty();
    }
    double share = litres.getAsDouble() / request.waterLitres();
    if (share <= A_LITTLE_MORE) {
      return Optional.of(
          water(litres.getAsDouble(), wanted, "more water, if the tank has room for it: %s L"));
    }
    for (int tanks = (int) Math.ceil(share); tanks <= MOST_TANKS; tanks++) {
      double part = 1.0 / (double) tanks;
      if (verdict(request.toBuilder().load(request.load().times(part)).build()).compareTo(wanted)
          <= 0) {
        return Optional.of(
            water(
                litres.getAsDouble(),
                wanted,
                "the fish shared between %d tanks like this one, %s kg in each; or one tank with"
                        .formatted(tanks, Say.number(part * request.load().kg()))
                    + " %s L of water"));
      }
    }
    return Optional.empty();
  }

  private Optional<Remedy> largerTank(Verdict wanted) {
    OptionalDouble litres = waterLitres(wanted);
    return litres.isPresent()
        ? Optional.of(water(litres.getAsDouble(), wanted, "a larger tank, with %s L of water"))
        : Optional.empty();
  }

  private static Remedy water(double litres, Verdict verdict, String sentence) {
    return new Remedy(
        Remedy.Kind.MORE_WATER, litres, "L", verdict, sentence.formatted(Say.number(litres)));
  }

  /** With how much water the same fish would get this verdict. */
  private OptionalDouble waterLitres(Verdict wanted) {
    DoubleFunction<LoadPlanRequest> with =
        f -> request.toBuilder().waterLitres(f * request.waterLitres()).build();
    if (MOST_WATER * request.waterLitres() > 1.0e6
        || verdict(with.apply(MOST_WATER)).compareTo(wanted) > 0) {
      return OptionalDouble.empty();
    }
    double bad = 1.0;
    double good = MOST_WATER;
    for (int i = 0; i < HALVINGS; i++) {
      double middle = 0.5 * (bad + good);
      if (verdict(with.apply(middle)).compareTo(wanted) <= 0) {
        good = middle;
      } else {
        bad = middle;
      }
    }
    return OptionalDouble.of(Math.ceil(good * request.waterLitres() / 10.0) * 10.0);
  }

  private Optional<Remedy> cooler(Verdict wanted) {
    double coolest = Math.max(COOLEST_C, COOLEST_C - request.riseC());
    for (double celsius = Math.ceil(request.temperatureC()) - 1.0;
        celsius >= coolest;
        celsius -= 1.0) {
      if (verdict(request.toBuilder().temperatureC(celsius).build()).compareTo(wanted) <= 0) {
        return Optional.of(
            new Remedy(
                Remedy.Kind.COOLER,
                celsius,
                "°C",
                wanted,
                "cooler: %s at loading (let the fish follow slowly)"
                    .formatted(Say.degrees(celsius))));
      }
    }
    return Optional.empty();
  }

  private Optional<Remedy> anotherCylinder(Verdict wanted) {
    if (request.cylinders().isEmpty()) {
      return Optional.empty();
    }
    LoadPlanRequest.Cylinders more = request.cylinders().get().andOneMore();
    return verdict(request.toBuilder().cylinders(more).build()).compareTo(wanted) <= 0
        ? Optional.of(
            new Remedy(
                Remedy.Kind.ANOTHER_CYLINDER,
                more.count(),
                "",
                wanted,
                "another cylinder of the same size and filling (%d)".formatted(more.count())))
        : Optional.empty();
  }

  private Optional<Remedy> finerDiffuser(Verdict wanted) {
    if (request.diffuser() == Diffuser.CERAMIC) {
      return Optional.empty();
    }
    LoadPlanRequest finer = request.toBuilder().supply(request.gas(), Diffuser.CERAMIC).build();
    return verdict(finer).compareTo(wanted) <= 0
        ? Optional.of(
            new Remedy(
                Remedy.Kind.FINER_DIFFUSER, 1.0, "", wanted, "a ceramic diffuser in good order"))
        : Optional.empty();
  }

  private Optional<Remedy> otherFlow(Verdict wanted) {
    if (request.flowLPerMin().isEmpty()) {
      return Optional.empty();
    }
    LoadPlanRequest planned = request.toBuilder().flowAsPlanned().build();
    Outlook outlook = Trip.outlook(planned);
    if (Judgement.verdict(Judgement.of(planned, outlook)).compareTo(wanted) > 0) {
      return Optional.empty();
    }
    double now = outlook.flowNowLPerMin().likely();
    return Optional.of(
        new Remedy(
            Remedy.Kind.OTHER_FLOW,
            now,
            "L/min",
            wanted,
            "another flow: %s L/min for the first hour, then %s%s"
                .formatted(
                    Say.number(now),
                    Say.number(outlook.flowAfterAnHourLPerMin().likely()),
                    outlook.flowRises()
                        ? ", rising evenly to %s at the end"
                            .formatted(Say.number(outlook.flowAtEndLPerMin().likely()))
                        : "")));
  }

  private static Verdict verdict(LoadPlanRequest changed) {
    return Judgement.verdict(Judgement.of(changed, Trip.outlook(changed)));
  }

  /** As the verdict, but leaving out the one topic that fewer fish make worse. */
  private static boolean isNotTooMuch(LoadPlanRequest changed, Verdict wanted) {
    List<Reason> reasons =
        Judgement.of(changed, Trip.outlook(changed)).stream()
            .filter(r -> r.topic() != Topic.SUPERSATURATION)
            .toList();
    return Judgement.verdict(reasons).compareTo(wanted) <= 0;
  }

  /** To two figures and never more, so that what is printed is still right. */
  static double roundedDown(double kg) {
    double step = Math.pow(10.0, Math.floor(Math.log10(kg)) - 1.0);
    return Math.floor(kg / step + 1e-9) * step;
  }
}
