// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

import java.util.ArrayList;
import java.util.List;

/**
 * The least mean delay with which any rule can find a straight fall in one oxygen trace, given how
 * seldom it may be wrong.
 *
 * <p>Model: oxygen falls at a constant rate {@code r} from the onset; the probe follows with a
 * first-order lag {@code tau = T90 / ln 10}, so that it shows {@code r·g(t)} with {@code g(t) = t −
 * tau·(1 − exp(−t/tau))}; white noise and rounding to 0.01 mg/L are added. After m samples the
 * information is {@code I = Σ (r·g(t_k))² / (2σ²)}. A rule whose hazard of a false alarm is 1/γ a
 * sample cannot, in m samples, beat the most powerful test of size m/γ (Neyman and Pearson 1933)
 * that knows rate, lag, level and onset: {@code P(delay ≤ m) ≤ Φ(√(2I) − z(m/γ))}. The mean follows
 * by summing, averaged over the phase of the onset between two samples. This is the finite-sample
 * form of the rule that a change is found when the cumulative information reaches log γ (Lai 1998,
 * IEEE Trans. Inf. Theory 44, 2917; Liang, Tartakovsky and Veeravalli 2021, arXiv 2110.01581).
 *
 * <p>It is an oracle on ideal noise: water that wanders by itself makes everything worse, a gas
 * meter may beat it, for it is another signal. A delay below it on oxygen alone means that the
 * assessment leaks.
 */
final class DetectionLimit {

  /** The budget of false alarms that the limit is given: one in so many tank-nights. */
  static final double NIGHTS_PER_FALSE_ALARM = 30.0;

  /** A tank-night, s. */
  static final double NIGHT_SECONDS = 12.0 * 3600.0;

  private static final double RESOLUTION_MG_PER_L = 0.01;
  private static final int PHASES = 16;
  private static final double SURE = 1e-9;

  private final double variance;
  private final double tauSeconds;
  private final double intervalSeconds;
  private final double samplesPerFalseAlarm;
  private final List<Double> quantiles = new ArrayList<>();

  /**
   * For one probe.
   *
   * @param noiseMgPerL standard deviation of its white noise
   * @param t90Seconds its response time
   * @param intervalSeconds between its readings
   */
  DetectionLimit(double noiseMgPerL, double t90Seconds, double intervalSeconds) {
    if (!(noiseMgPerL > 0.0 && t90Seconds > 0.0 && intervalSeconds > 0.0)) {
      throw new IllegalArgumentException(
          "a detection limit needs noise, T90 and interval > 0 but was given %s mg/L, %s s, %s s"
              .formatted(noiseMgPerL, t90Seconds, intervalSeconds));
    }
    variance = noiseMgPerL * noiseMgPerL + RESOLUTION_MG_PER_L * RESOLUTION_MG_PER_L / 12.0;
    tauSeconds = t90Seconds / Math.log(10.0);
    this.intervalSeconds = intervalSeconds;
    samplesPerFalseAlarm = NIGHTS_PER_FALSE_ALARM * NIGHT_SECONDS / intervalSeconds;
  }

  /**
   * The least mean delay.
   *
   * @param fallMgPerLPerMin rate of the fall, above 0
   * @return seconds from the onset
   */
  double meanDelaySeconds(double fallMgPerLPerMin) {
    if (!(fallMgPerLPerMin > 0.0)) {
      throw new IllegalArgumentException(
          "a detection limit needs a fall > 0 (mg/L)/min but was given " + fallMgPerLPerMin);
    }
    double sum = 0.0;
    for (int i = 0; i < PHASES; i++) {
      double first = intervalSeconds * (i + 0.5) / PHASES;
      sum += meanDelaySeconds(fallMgPerLPerMin / 60.0, first);
    }
    return sum / PHASES;
  }

  private double meanDelaySeconds(double fallPerSecond, double firstSampleSeconds) {
    double twiceInformation = 0.0;
    double found = 0.0;
    double mean = firstSampleSeconds;
    double t = firstSampleSeconds;
    for (int m = 1; found < 1.0 - SURE; m++) {
      double shown = fallPerSecond * (t + tauSeconds * Math.expm1(-t / tauSeconds));
      twiceInformation += shown * shown / variance;
      found = Math.max(found, power(twiceInformation, m));
      mean += intervalSeconds * (1.0 - found);
      t += intervalSeconds;
    }
    return mean;
  }

  private double power(double twiceInformation, int samples) {
    if (samples >= samplesPerFalseAlarm) {
      return 1.0;
    }
    while (quantiles.size() < samples) {
      quantiles.add(NormalLaw.upperQuantile((quantiles.size() + 1) / samplesPerFalseAlarm));
    }
    return NormalLaw.upperTail(quantiles.get(samples - 1) - Math.sqrt(twiceInformation));
  }
}
