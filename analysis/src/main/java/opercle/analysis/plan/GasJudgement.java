// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.plan;

import java.util.Optional;
import opercle.analysis.Band;
import opercle.analysis.stock.Evidence;

/** Holds the gas that a load needs against what the tank takes and what the cylinders hold. */
final class GasJudgement {

  /** Gas for half as long again as the trip, above the reserve (<i>common practice</i>). */
  private static final double GAS_MARGIN = 1.5;

  private GasJudgement() {}

  /** Whether this gas through this diffuser can hold the target without stirring up the tank. */
  static Reason flow(LoadPlanRequest request, Outlook outlook) {
    Band need =
        outlook.flowAtEndLPerMin().likely() > outlook.flowNowLPerMin().likely()
            ? outlook.flowAtEndLPerMin()
            : outlook.flowNowLPerMin();
    double limit = outlook.flowLimitLPerMin();
    Evidence evidence = Evidence.derived("transfer of this diffuser at this depth; limit ours");
    Verdict verdict = Verdict.GO;
    String sentence;
    if (Double.isInfinite(need.likely())) {
      verdict = Verdict.DO_NOT_GO;
      sentence =
          "No flow of %s holds %s mg/L in this load."
              .formatted(request.gas().id(), Say.number(outlook.targetMgPerL()));
    } else if (need.likely() > limit) {
      verdict = Verdict.DO_NOT_GO;
      sentence =
          "It needs %s L/min; more than %s blows the fish about in this tank."
              .formatted(Say.number(need.likely()), Say.number(limit));
    } else if (request.flowLPerMin().orElse(0.0) > limit) {
      verdict = Verdict.GO_WITH_CARE;
      sentence =
          "%s L/min blows the fish about in this tank; reckoned with %s."
              .formatted(Say.number(request.flowLPerMin().getAsDouble()), Say.number(limit));
    } else if (request.flowLPerMin().isPresent()
        && request.flowLPerMin().getAsDouble() < need.likely()) {
      sentence =
          "You set %s L/min; holding %s mg/L takes up to %s."
              .formatted(
                  Say.number(request.flowLPerMin().getAsDouble()),
                  Say.number(outlook.targetMgPerL()),
                  Say.number(need.likely()));
    } else {
      sentence =
          "Holding %s mg/L takes %s L/min at loading, %s %s%s; the tank takes up to %s."
              .formatted(
                  Say.number(outlook.targetMgPerL()),
                  Say.number(outlook.flowNowLPerMin().likely()),
                  Say.number(outlook.flowAfterAnHourLPerMin().likely()),
                  request.laterInWords(),
                  outlook.flowRises()
                      ? " and %s at the end"
                          .formatted(Say.number(outlook.flowAtEndLPerMin().likely()))
                      : "",
                  Say.number(limit));
    }
    return new Reason(
        Topic.GAS_FLOW, verdict, Optional.of(need), limit, "L/min", evidence, sentence);
  }

  /** Whether the cylinders last the trip and half as long again. */
  static Reason cylinder(LoadPlanRequest request, Outlook outlook) {
    double needed = GAS_MARGIN * request.minutes();
    Evidence evidence =
        Evidence.commonPractice("gas for half as long again as the trip, above the reserve");
    if (outlook.enduranceMinutes().isEmpty()) {
      return new Reason(
          Topic.CYLINDER,
          Verdict.GO_WITH_CARE,
          Optional.empty(),
          needed,
          "min",
          evidence,
          "No cylinder was given, so nobody has checked that the gas lasts: it takes about %s L of gas."
              .formatted(Say.number(outlook.gasUsedLitres().likely())));
    }
    Band lasts = outlook.enduranceMinutes().get();
    double minutes = lasts.likely();
    Verdict verdict =
        minutes < request.minutes()
            ? Verdict.DO_NOT_GO
            : minutes < needed ? Verdict.GO_WITH_CARE : Verdict.GO;
    String said =
        Double.isInfinite(minutes)
            ? "No gas is drawn, so it lasts"
            : "The gas lasts %s down to %s bar%s"
                .formatted(
                    Say.minutes(minutes),
                    Say.number(request.reserveBar()),
                    lasts.low() == minutes
                        ? ""
                        : " (%s if the fish breathe hard and the diffuser is poor)"
                            .formatted(Say.minutes(lasts.low())));
    return new Reason(
        Topic.CYLINDER,
        verdict,
        Optional.of(lasts),
        needed,
        "min",
        evidence,
        "%s; the trip is %s, with half as much again %s."
            .formatted(said, Say.minutes(request.minutes()), Say.minutes(needed)));
  }
}
