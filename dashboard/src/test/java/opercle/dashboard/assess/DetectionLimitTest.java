// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.withinPercentage;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvFileSource;
import org.junit.jupiter.params.provider.CsvSource;

class DetectionLimitTest {

  @ParameterizedTest
  @CsvFileSource(resources = "best-possible-delay.csv", numLinesToSkip = 7)
  void straightFall_meanDelay_isThatOfTheTable(
      double interval, double noise, double t90, double fall, double seconds) {
    assertThat(new DetectionLimit(noise, t90, interval).meanDelaySeconds(fall))
        .isCloseTo(seconds, withinPercentage(5.0));
  }

  /** The closed form for delays much longer than the lag; detection theory note, section 2. */
  @ParameterizedTest
  @CsvSource({"0.005", "0.01"})
  void slowFall_meanDelay_isALittleBelowTheAsymptoticOne(double fall) {
    double noise = 0.05;
    double samples = 30.0 * 12.0 * 3600.0 / 5.0;
    double perSecond = fall / 60.0;
    double asymptotic =
        30.0 / Math.log(10.0)
            + Math.cbrt(6.0 * noise * noise * 5.0 * Math.log(samples) / (perSecond * perSecond));

    assertThat(new DetectionLimit(noise, 30.0, 5.0).meanDelaySeconds(fall))
        .isBetween(0.7 * asymptotic, asymptotic);
  }

  @Test
  void noFall_isRefused() {
    DetectionLimit limit = new DetectionLimit(0.05, 30.0, 5.0);

    assertThatThrownBy(() -> limit.meanDelaySeconds(0.0))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("fall > 0 (mg/L)/min");
  }

  @Test
  void noNoise_isRefused() {
    assertThatThrownBy(() -> new DetectionLimit(0.0, 30.0, 5.0))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("0.0 mg/L");
  }
}
