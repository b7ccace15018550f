// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.plan;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.function.Function;
import opercle.analysis.Band;
import opercle.analysis.farm.Tank.Gas;
import opercle.analysis.stock.Batch;
import opercle.analysis.stock.DensityGuide;
import opercle.analysis.stock.Evidence;
import opercle.analysis.stock.Figure;
import opercle.analysis.stock.OxygenLimits;
import opercle.analysis.stock.Species;
import opercle.analysis.stock.TemperatureLimits;
import opercle.analysis.water.BensonKrause1984;

/**
 * Holds an {@link Outlook} against the limits. Every topic gives a reason, also when it speaks for
 * going, so that the reader sees what was looked at.
 *
 * <p>The verdict goes by the likely figures, with the margins named below; the wide bands are
 * shown, and decide only on the time in hand, where being wrong cannot be put right on the road.
 * What concerns flow and cylinder is judged by {@link GasJudgement}.
 */
final class Judgement {

  private static final double CO2_CARE = 20.0;
  private static final double CO2_STOP = 40.0;
  private static final double TAN_CARE = 10.0;
  private static final double TAN_STOP = 17.0;
  private static final double WARMING_CARE = 3.0;

  private static final Evidence FLOORS =
      OxygenLimits.keepFloorMgPerL(Species.COMMON_CARP).evidence();

  private final LoadPlanRequest request;
  private final Outlook outlook;

  private Judgement(LoadPlanRequest request, Outlook outlook) {
    this.request = request;
    this.outlook = outlook;
  }

  /** All reasons, in the order of {@link Topic}. */
  static List<Reason> of(LoadPlanRequest request, Outlook outlook) {
    Judgement judgement = new Judgement(request, outlook);
    List<Reason> reasons = new ArrayList<>();
    reasons.add(judgement.timeInHand());
    reasons.add(judgement.oxygen());
    reasons.add(GasJudgement.flow(request, outlook));
    if (request.gas() == Gas.OXYGEN) {
      reasons.add(GasJudgement.cylinder(request, outlook));
    }
    reasons.add(judgement.temperature());
    reasons.add(judgement.warming());
    reasons.add(judgement.density());
    reasons.add(judgement.carbonDioxide());
    reasons.add(judgement.ammonia());
    reasons.add(judgement.supersaturation());
    return reasons;
  }

  /** The most cautious of the reasons' verdicts. */
  static Verdict verdict(List<Reason> reasons) {
    return reasons.stream().map(Reason::verdict).reduce(Verdict.GO, Verdict::and);
  }

  private Reason timeInHand() {
    Band minutes = outlook.shortestInHandMinutes();
    double response = request.responseMinutes();
    Verdict verdict =
        minutes.likely() < response
            ? Verdict.DO_NOT_GO
            : minutes.low() < response ? Verdict.GO_WITH_CARE : Verdict.GO;
    String floor = Say.number(request.load().criticalFloorMgPerL());
    String when =
        minutes.equals(outlook.inHandAtLoadingMinutes())
            ? "at loading"
            : minutes.equals(outlook.inHandAtEndMinutes()) ? "at the end" : "after an hour";
    String said;
    if (minutes.likely() == 0.0) {
      said =
          "Even with the gas on, oxygen is at the critical floor of %s mg/L %s;"
              .formatted(floor, when);
    } else if (Double.isInfinite(minutes.likely())) {
      String worst =
          Double.isInfinite(minutes.low())
              ? ""
              : " (at worst it falls there in %s)".formatted(Say.minutes(minutes.low()));
      said =
          "If the gas stops, the surface alone should keep oxygen above the critical floor of %s mg/L%s;"
              .formatted(floor, worst);
    } else {
      said =
          "If the gas stops %s, %s to the critical floor of %s mg/L (as little as %s);"
              .formatted(when, Say.minutes(minutes.likely()), floor, Say.minutes(minutes.low()));
    }
    String then = " getting it going again takes you %s.".formatted(Say.minutes(response));
    String advice =
        switch (verdict) {
          case GO -> "";
          case GO_WITH_CARE ->
              request.gas() == Gas.OXYGEN
                  ? " Keep a second cylinder connected."
                  : " Keep a spare blower, or oxygen, ready.";
          case DO_NOT_GO -> " You would be too late.";
        };
    return new Reason(
        Topic.TIME_IN_HAND,
        verdict,
        Optional.of(minutes),
        response,
        "min",
        Evidence.derived("oxygen balance, no gas, parked; your own response time"),
        said + then + advice);
  }

  private Reason oxygen() {
    double keep = request.load().keepFloorMgPerL();
    double critical = request.load().criticalFloorMgPerL();
    double lowest = outlook.lowestMgPerL().likely();
    double settled = outlook.settledMgPerL().likely();
    Verdict verdict;
    String sentence;
    if (lowest < critical) {
      verdict = Verdict.DO_NOT_GO;
      sentence =
          "Oxygen falls to %s mg/L; the critical floor is %s."
              .formatted(Say.number(lowest), Say.number(critical));
    } else if (lowest < keep && settled < keep) {
      verdict = Verdict.DO_NOT_GO;
      sentence =
          "Oxygen settles at %s mg/L, under the keep floor of %s."
              .formatted(Say.number(settled), Say.number(keep));
    } else if (lowest < keep) {
      verdict = Verdict.GO_WITH_CARE;
      sentence =
          "Oxygen dips to %s mg/L before the fish settle; the keep floor is %s. More gas at first."
              .formatted(Say.number(lowest), Say.number(keep));
    } else if (settled < keep) {
      verdict = Verdict.GO_WITH_CARE;
      sentence =
          "Oxygen stays at %s mg/L or more, but is on its way to %s at the end; the keep floor is %s. More gas, or no delay on the road."
              .formatted(Say.number(lowest), Say.number(settled), Say.number(keep));
    } else {
      verdict = Verdict.GO;
      sentence =
          "Oxygen stays at %s mg/L or more; the keep floor is %s."
              .formatted(Say.number(lowest), Say.number(keep));
    }
    double worst = outlook.lowestMgPerL().low();
    if (worst < keep && verdict != Verdict.DO_NOT_GO) {
      sentence +=
          " If the fish breathe hard and the diffuser is poor, this flow lets it fall to %s: watch the meter and turn the gas up."
              .formatted(Say.number(worst));
    }
    return new Reason(
        Topic.OXYGEN,
        verdict,
        Optional.of(outlook.lowestMgPerL()),
        lowest < critical ? critical : keep,
        "mg/L",
        FLOORS,
        sentence);
  }

  private Reason temperature() {
    double warmest = request.warmestC();
    Figure care = strictest(TemperatureLimits::careAboveC);
    Figure stop = strictest(TemperatureLimits::stopAboveC);
    double best = strictest(TemperatureLimits::bestForTransportC).value().high();
    Verdict verdict = over(warmest, care, stop);
    Figure told = verdict == Verdict.DO_NOT_GO ? stop : care;
    return new Reason(
        Topic.TEMPERATURE,
        verdict,
        Optional.of(Band.exactly(warmest)),
        told.value().likely(),
        "°C",
        told.evidence(),
        "%s at the warmest; %s above %s, best under %s."
            .formatted(
                Say.degrees(warmest),
                verdict == Verdict.DO_NOT_GO ? "do not move these" : "take care",
                Say.degrees(told.value().likely()),
                Say.degrees(best)));
  }

  private Reason warming() {
    double change = Math.abs(request.riseC());
    Verdict verdict = change > WARMING_CARE ? Verdict.GO_WITH_CARE : Verdict.GO;
    return new Reason(
        Topic.WARMING,
        verdict,
        Optional.of(Band.exactly(change)),
        WARMING_CARE,
        "°C",
        Evidence.commonPractice("transfers within 1–2 °C cautious, several for adults"),
        change == 0.0
            ? "The water keeps its temperature."
            : "The water changes by %s °C on the way%s"
                .formatted(
                    Say.number(change),
                    verdict == Verdict.GO ? "." : ": shade or insulate the tank."));
  }

  private Reason density() {
    Figure guide =
        DensityGuide.transportKgPerL(request.load(), request.warmestC(), request.hours());
    double density = outlook.densityKgPerL();
    Verdict verdict =
        density > guide.value().high()
            ? Verdict.DO_NOT_GO
            : density > guide.value().likely() ? Verdict.GO_WITH_CARE : Verdict.GO;
    double told = verdict == Verdict.DO_NOT_GO ? guide.value().high() : guide.value().likely();
    return new Reason(
        Topic.DENSITY,
        verdict,
        Optional.of(Band.exactly(density)),
        told,
        guide.unit(),
        guide.evidence(),
        "%s kg of fish in each litre of water; for this warmth and time the tank is full at %s, and crammed at %s."
            .formatted(
                Say.number(density),
                Say.number(guide.value().likely()),
                Say.number(guide.value().high())));
  }

  private Reason carbonDioxide() {
    Band co2 = outlook.carbonDioxideMgPerL();
    Verdict verdict =
        co2.likely() > CO2_STOP
            ? Verdict.DO_NOT_GO
            : co2.likely() > CO2_CARE ? Verdict.GO_WITH_CARE : Verdict.GO;
    return new Reason(
        Topic.CARBON_DIOXIDE,
        verdict,
        Optional.of(co2),
        verdict == Verdict.DO_NOT_GO ? CO2_STOP : CO2_CARE,
        "mg/L",
        verdict == Verdict.DO_NOT_GO
            ? Evidence.derived("twice the working limit; bass swim to 40 mg/L (Dahlberg)")
            : Evidence.read("World Aquaculture 2007(1) p. 43 after Piper: under 20 mg/L"),
        "Carbon dioxide reaches %s mg/L (likely between %s); keep it under %s%s"
            .formatted(
                Say.number(co2.likely()),
                Say.between(co2),
                Say.number(CO2_CARE),
                verdict == Verdict.GO ? "." : ": vent the lid, stir or change water."));
  }

  private Reason ammonia() {
    Band tan = outlook.tanMgPerL();
    Verdict verdict =
        tan.likely() > TAN_STOP
            ? Verdict.DO_NOT_GO
            : tan.likely() > TAN_CARE ? Verdict.GO_WITH_CARE : Verdict.GO;
    return new Reason(
        Topic.AMMONIA,
        verdict,
        Optional.of(tan),
        verdict == Verdict.DO_NOT_GO ? TAN_STOP : TAN_CARE,
        "mg/L",
        verdict == Verdict.DO_NOT_GO
            ? Evidence.read("US EPA 2013 acute, 17 mg TAN/L at pH 7 and 20 °C")
            : Evidence.read("Piper et al. 1982 p. 357: harm to trout from 6 h at 11–12 mg/L"),
        "Ammonia from the fish reaches %s mg/L, all of it counted as nitrogen (likely between %s); keep it under %s."
            .formatted(Say.number(tan.likely()), Say.between(tan), Say.number(TAN_CARE)));
  }

  private Reason supersaturation() {
    // Warm water holds least, so the same oxygen is most there.
    double saturation =
        new BensonKrause1984()
            .saturationMgPerL(request.warmestC(), request.saltGPerKg(), request.pressureKPa());
    double percentPerMgPerL = 100.0 / saturation;
    Band percent = outlook.highestMgPerL().times(percentPerMgPerL);
    Verdict verdict =
        over(
            percent.likely(),
            OxygenLimits.SUPERSATURATION_CARE_PERCENT,
            OxygenLimits.SUPERSATURATION_STOP_PERCENT);
    Figure told =
        verdict == Verdict.DO_NOT_GO
            ? OxygenLimits.SUPERSATURATION_STOP_PERCENT
            : OxygenLimits.SUPERSATURATION_CARE_PERCENT;
    return new Reason(
        Topic.SUPERSATURATION,
        verdict,
        Optional.of(percent),
        told.value().likely(),
        "%",
        told.evidence(),
        "The water holds up to %s %% of the oxygen that air alone would give it; %s."
            .formatted(
                Say.number(percent.likely()),
                verdict == Verdict.GO
                    ? "up to %s %% does fish no harm".formatted(Say.number(told.value().likely()))
                    : "above %s %% gas bubbles %s form in the blood of the fish and harm them: turn the gas down"
                        .formatted(
                            Say.number(told.value().likely()),
                            verdict == Verdict.DO_NOT_GO ? "can" : "may begin to")));
  }

  private static Verdict over(double value, Figure care, Figure stop) {
    return value > stop.value().likely()
        ? Verdict.DO_NOT_GO
        : value > care.value().likely() ? Verdict.GO_WITH_CARE : Verdict.GO;
  }

  private Figure strictest(Function<Species, Figure> limit) {
    return request.load().batches().stream()
        .map(Batch::species)
        .map(limit)
        .min(Comparator.comparingDouble(f -> f.value().high()))
        .orElseThrow();
  }
}
