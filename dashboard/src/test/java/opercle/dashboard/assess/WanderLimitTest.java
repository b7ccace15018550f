// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.withinPercentage;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * The limits that the watch is held against where water wanders are those of a detector that knows
 * the wander's covariance, not those for white noise: the same Neyman-Pearson bound, its
 * information summed over the innovations of a Kalman filter that knows wander, noise, rate, lag
 * and level. It guards the table of limits, not the watch.
 */
class WanderLimitTest {

  private static final double INTERVAL_SECONDS = 5.0;
  private static final double NOISE_MG_PER_L = 0.05;
  private static final double TAU_SECONDS = 30.0 / Math.log(10.0);
  private static final double CORRELATION_SECONDS = 3600.0;
  private static final double SAMPLES_PER_FALSE_ALARM =
      DetectionLimit.NIGHTS_PER_FALSE_ALARM * DetectionLimit.NIGHT_SECONDS / INTERVAL_SECONDS;
  private static final int PHASES = 8;

  /** Source: detection notes, section 4, "best possible"; every 5 s, noise 0.05 mg/L, T90 30 s. */
  @ParameterizedTest(name = "wander {0} mg/L, {1} (mg/L)/min")
  @CsvSource({
    "0.05, 0.05, 133",
    "0.05, 0.2, 54",
    "0.05, 0.5, 33",
    "0.05, 1, 24",
    "0.05, 3, 14",
    "0.05, 10, 8.8",
    "0.15, 0.05, 283",
    "0.15, 0.2, 67",
    "0.15, 0.5, 37",
    "0.15, 1, 25",
    "0.15, 3, 15",
    "0.15, 10, 9.0",
    "0.30, 0.05, 709",
    "0.30, 0.2, 106",
    "0.30, 0.5, 45",
    "0.30, 1, 29",
    "0.30, 3, 16",
    "0.30, 10, 9.4"
  })
  void bestPossible_whereWaterWanders_isTheBoundThatKnowsTheWander(
      double wander, double fall, double seconds) {
    double sum = 0.0;
    for (int i = 0; i < PHASES; i++) {
      sum += meanDelaySeconds(wander, fall / 60.0, INTERVAL_SECONDS * (i + 0.5) / PHASES);
    }

    // The table prints two digits of the shortest.
    assertThat(sum / PHASES).isCloseTo(seconds, withinPercentage(4.0));
  }

  private static double meanDelaySeconds(double wander, double fallPerSecond, double first) {
    double white = NOISE_MG_PER_L * NOISE_MG_PER_L + 0.01 * 0.01 / 12.0;
    double keeps = Math.exp(-INTERVAL_SECONDS / CORRELATION_SECONDS);
    double fresh = wander * wander * (1.0 - keeps * keeps);
    double unknown = wander * wander;
    for (int i = 0; i < 10_000; i++) { // what is known of the wander after hours without a fall
      unknown = keeps * keeps * unknown * white / (unknown + white) + fresh;
    }
    double followed = 0.0; // of the fall, what the filter takes for wander
    double twiceInformation = 0.0;
    double found = 0.0;
    double mean = first;
    for (int m = 1; found < 1.0 - 1e-9 && m < SAMPLES_PER_FALSE_ALARM; m++) {
      double t = first + (m - 1) * INTERVAL_SECONDS;
      double shown = fallPerSecond * (t + TAU_SECONDS * Math.expm1(-t / TAU_SECONDS));
      double innovation = shown - followed;
      twiceInformation += innovation * innovation / (unknown + white);
      followed = keeps * (followed + unknown / (unknown + white) * innovation);
      double limit = NormalLaw.upperQuantile(m / SAMPLES_PER_FALSE_ALARM);
      found = Math.max(found, NormalLaw.upperTail(limit - Math.sqrt(twiceInformation)));
      mean += INTERVAL_SECONDS * (1.0 - found);
    }
    return mean;
  }
}
