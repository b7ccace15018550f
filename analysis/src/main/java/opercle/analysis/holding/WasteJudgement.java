// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.holding;

import java.math.BigDecimal;
import java.math.MathContext;
import java.time.Duration;
import java.util.Locale;
import java.util.Optional;
import opercle.analysis.alarm.Priority;
import opercle.analysis.holding.HoldingNow.Basis;
import opercle.analysis.holding.HoldingNow.Value;

/**
 * Whether what has built up calls for somebody. A reckoned value is at most medium, and one that
 * hangs on a pH that nobody measured, on a start a week ago, or on the balance of carbon dioxide
 * alone, says nothing: it is shown, and nobody is called.
 *
 * @param priority how urgent
 * @param fact in a clause
 * @param measured whether it was measured
 */
public record WasteJudgement(Priority priority, String fact, boolean measured) {

  /** Past this a course that nobody checked is not leant on (common practice). */
  static final Duration LEANT_ON = Duration.ofDays(7);

  /** Over once it has come down to this share of its limit. */
  static final double DEADBAND = 0.8;

  /**
   * Judges.
   *
   * @param stands whether it stood before: then it ends only below the deadband
   */
  public static Optional<WasteJudgement> of(HoldingNow now, boolean stands) {
    HoldingLimits limits = now.limits();
    Optional<WasteJudgement> ammonia =
        now.ammonia()
            .filter(v -> isLeantOn(now, v))
            .flatMap(
                v ->
                    judged(
                        "poisonous ammonia",
                        v,
                        limits.ammoniaMgPerL(),
                        limits.ammoniaHarmsMgPerL(),
                        stands));
    Optional<WasteJudgement> carbonDioxide =
        now.carbonDioxide()
            .filter(v -> v.basis() == Basis.MEASURED || v.basis() == Basis.SINCE_MEASURED)
            .flatMap(
                v ->
                    judged(
                        "carbon dioxide",
                        v,
                        limits.carbonDioxideMgPerL(),
                        limits.carbonDioxideHarmsMgPerL(),
                        stands));
    if (ammonia.isEmpty() || carbonDioxide.isEmpty()) {
      return ammonia.or(() -> carbonDioxide);
    }
    WasteJudgement a = ammonia.get();
    WasteJudgement c = carbonDioxide.get();
    return Optional.of(c.priority.compareTo(a.priority) < 0 ? c : a);
  }

  private static boolean isLeantOn(HoldingNow now, Value ammonia) {
    return ammonia.basis() != Basis.SET && ammonia.since().plus(LEANT_ON).isAfter(now.at());
  }

  private static Optional<WasteJudgement> judged(
      String what, Value value, double limit, double harms, boolean stands) {
    double likely = value.band().likely();
    if (likely < (stands ? DEADBAND : 1.0) * limit) {
      return Optional.empty();
    }
    boolean measured = value.basis() == Basis.MEASURED;
    Priority priority =
        measured
            ? likely >= harms ? Priority.HIGH : Priority.MEDIUM
            : value.band().low() >= limit ? Priority.MEDIUM : Priority.LOW;
    String figure =
        likely < 1.0
            ? BigDecimal.valueOf(likely).round(new MathContext(2)).toPlainString()
            : String.format(Locale.ROOT, "%.0f", likely);
    String most = limit < 1.0 ? Double.toString(limit) : String.format(Locale.ROOT, "%.0f", limit);
    return Optional.of(
        new WasteJudgement(
            priority,
            "%s %s %s mg/L; it should stay under %s"
                .formatted(what, measured ? "measured at" : "reckoned at about", figure, most),
            measured));
  }
}
