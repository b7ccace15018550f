// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.stock;

import opercle.analysis.Band;

/**
 * How netting and loading raise what fish breathe, and how that fades:
 *
 * <pre>  m(t) = 1 + (m0 − 1) exp(−t / τ)</pre>
 *
 * <p>The form is ours; peak and fading come from what was measured. Handling raised the rate of
 * young coho 1.39–1.98 times, mostly gone within 1 h, traces for up to 2 h more (Davis 1993, read);
 * trout taken to exhaustion 3.7 times, back after 5.2 h (Svendsen et al. 2012, read). Trade
 * practice is to plan the first hour at two to three times the settled rate.
 *
 * @param peak m0, multiple of routine demand at the moment of loading
 * @param fadeHours τ, hours
 * @param evidence where both come from
 */
public record HandlingStress(Band peak, Band fadeHours, Evidence evidence) {

  /** Fish that were not disturbed. */
  public static final HandlingStress NONE =
      new HandlingStress(
          Band.exactly(1.0), Band.exactly(1.0), Evidence.derived("undisturbed fish"));

  /** Fish loaded with care: wet hands, few at a time, oxygen on. */
  public static final HandlingStress CAREFUL =
      new HandlingStress(
          new Band(1.4, 2.0, 3.0),
          new Band(0.4, 0.5, 1.0),
          Evidence.derived("Davis 1993 (1.4–2.0, gone in 1–3 h); trade plans 2–3"));

  /** Fish that were chased, crowded or short of oxygen before loading. */
  public static final HandlingStress EXHAUSTED =
      new HandlingStress(
          new Band(2.0, 3.5, 4.0),
          new Band(1.0, 1.75, 2.5),
          Evidence.derived("Svendsen et al. 2012 (3.7, back in 5.2 h)"));

  public HandlingStress {
    if (!(peak.low() >= 1.0)) {
      throw new IllegalArgumentException(
          "handling stress: peak must be >= 1 times routine but was " + peak);
    }
    if (!(fadeHours.low() > 0.0)) {
      throw new IllegalArgumentException(
          "handling stress: fading time must be > 0 h but was " + fadeHours);
    }
  }

  /**
   * Multiple of routine demand some time after loading.
   *
   * @param hours since loading, h, not negative
   */
  public Band multiplierAfter(double hours) {
    return new Band(
        multiplier(peak.low(), fadeHours.low(), hours),
        multiplier(peak.likely(), fadeHours.likely(), hours),
        multiplier(peak.high(), fadeHours.high(), hours));
  }

  private static double multiplier(double peak, double fadeHours, double hours) {
    if (!(hours >= 0.0)) {
      throw new IllegalArgumentException(
          "handling stress: hours since loading must be >= 0 but was " + hours);
    }
    return 1.0 + (peak - 1.0) * Math.exp(-hours / fadeHours);
  }
}
