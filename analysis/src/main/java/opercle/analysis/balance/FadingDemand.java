// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.balance;

/**
 * Demand of freshly handled fish on a litre of water, fading to its settled value, and the exact
 * course of oxygen under it:
 *
 * <pre>
 *   D(t) = D0 (1 + (m0 − 1) exp(−t/τ))
 *   C(t) = Ceq (1 − e^(−kt)) + C0 e^(−kt) − D0 [φ(k, t) + (m0 − 1) e^(−t/τ) φ(k − 1/τ, t)]
 *   φ(a, t) = (1 − e^(−at))/a, or t where a = 0
 * </pre>
 *
 * <p>The solution of the linear balance; it holds for every k, also k = 0 and k = 1/τ. Pure.
 *
 * @param settledMgPerLPerHour D0, mg/L/h
 * @param peak m0, multiple of it at the start; 1 or more
 * @param fadeHours τ, h
 */
public record FadingDemand(double settledMgPerLPerHour, double peak, double fadeHours) {

  /** Past this many fading times what is left of the peak is under a millionth of it. */
  private static final double FADED = 14.0;

  private static final double SCAN_HOURS = 1.0 / 60.0;
  private static final double MINUTES_PER_HOUR = 60.0;

  public FadingDemand {
    if (!(settledMgPerLPerHour >= 0.0 && Double.isFinite(settledMgPerLPerHour))) {
      throw new IllegalArgumentException(
          "fading demand: settled demand must be a finite number >= 0 mg/L/h but was "
              + settledMgPerLPerHour);
    }
    if (!(peak >= 1.0 && Double.isFinite(peak))) {
      throw new IllegalArgumentException("fading demand: peak must be >= 1 but was " + peak);
    }
    if (!(fadeHours > 0.0 && Double.isFinite(fadeHours))) {
      throw new IllegalArgumentException(
          "fading demand: fading time must be > 0 h but was " + fadeHours);
    }
  }

  /** Demand that does not change. */
  public static FadingDemand settled(double mgPerLPerHour) {
    return new FadingDemand(mgPerLPerHour, 1.0, 1.0);
  }

  /** Demand at a time, mg/L/h. */
  public double atHours(double hours) {
    return settledMgPerLPerHour * (1.0 + (peak - 1.0) * Math.exp(-hours / fadeHours));
  }

  /** Oxygen taken from a litre from the start to a time, mg/L. */
  public double takenMgPerL(double hours) {
    return remaining(0.0, hours);
  }

  /** Oxygen at a time, mg/L; below zero where the demand could not have been met. */
  public double levelAfter(double hours, double oxygenMgPerL, Exchange exchange) {
    double k = exchange.perHour();
    return oxygenMgPerL * Math.exp(-k * hours)
        + exchange.equilibriumMgPerL() * -Math.expm1(-k * hours)
        - remaining(k, hours);
  }

  /**
   * Minutes until oxygen first comes down to a floor; infinite where it never does. The level may
   * dip and recover as the fish settle, so it is followed minute by minute while the peak fades and
   * the crossing is then halved down; after that {@link TimeToFloor} has the exact answer.
   */
  public double minutesToFloor(double oxygenMgPerL, double floorMgPerL, Exchange exchange) {
    if (oxygenMgPerL <= floorMgPerL) {
      return 0.0;
    }
    double fadedHours = peak == 1.0 ? 0.0 : FADED * fadeHours;
    int steps = (int) Math.ceil(fadedHours / SCAN_HOURS);
    for (int i = 1; i <= steps; i++) {
      if (levelAfter(i * SCAN_HOURS, oxygenMgPerL, exchange) <= floorMgPerL) {
        return MINUTES_PER_HOUR
            * crossing((i - 1) * SCAN_HOURS, i * SCAN_HOURS, oxygenMgPerL, floorMgPerL, exchange);
      }
    }
    double scanned = steps * SCAN_HOURS;
    return MINUTES_PER_HOUR * scanned
        + TimeToFloor.minutes(
            levelAfter(scanned, oxygenMgPerL, exchange),
            floorMgPerL,
            exchange.perHour(),
            exchange.equilibriumMgPerL(),
            settledMgPerLPerHour);
  }

  private double crossing(
      double above, double below, double oxygenMgPerL, double floorMgPerL, Exchange exchange) {
    double high = above;
    double low = below;
    for (int i = 0; i < 30; i++) { // a minute halved thirty times
      double middle = 0.5 * (high + low);
      if (levelAfter(middle, oxygenMgPerL, exchange) > floorMgPerL) {
        high = middle;
      } else {
        low = middle;
      }
    }
    return low;
  }

  /** What is still missing at a time of all that was taken, when what is missing decays at k. */
  private double remaining(double k, double hours) {
    return settledMgPerLPerHour
        * (overlap(k, 0.0, hours) + (peak - 1.0) * overlap(k, 1.0 / fadeHours, hours));
  }

  /** e^(−bt) φ(a − b, t), in the form that neither cancels nor overflows. */
  private static double overlap(double a, double b, double t) {
    double x = (a - b) * t;
    if (Math.abs(x) < 1e-12) {
      return t * Math.exp(-b * t);
    }
    return Math.abs(x) < 1.0
        ? Math.exp(-b * t) * -Math.expm1(-x) / (a - b)
        : (Math.exp(-b * t) - Math.exp(-a * t)) / (a - b);
  }
}
