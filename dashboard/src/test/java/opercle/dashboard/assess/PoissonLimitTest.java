// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class PoissonLimitTest {

  /**
   * Upper ends of two-sided 95 % intervals as tables print them since Garwood 1936; from memory.
   */
  @ParameterizedTest
  @CsvSource({"0, 3.689", "1, 5.572", "2, 7.225", "5, 11.668", "10, 18.390", "100, 121.63"})
  void upper_ofATwoSidedInterval_isThatOfTheTables(int events, double limit) {
    assertThat(PoissonLimit.upper(events, 0.975)).isCloseTo(limit, within(0.006));
  }

  @Test
  void upper_noEvents_isTheLogarithm() {
    assertThat(PoissonLimit.upper(0, 0.95)).isCloseTo(-Math.log(0.05), within(1e-9));
  }

  /**
   * Tank-nights needed to claim one false alarm in 30 at 95 %; detection theory note, section 7.
   */
  @ParameterizedTest
  @CsvSource({"0, 90", "1, 142", "2, 189", "3, 233", "4, 275", "5, 315"})
  void upper_overTheNightsNeeded_isOneInThirty(int events, int nights) {
    double limit = PoissonLimit.upper(events, 0.95);

    // 142 and 315 are rounded to the nearest night; rounded up they would be 143 and 316.
    assertThat(30.0 * limit).isCloseTo(nights, within(0.75));
  }

  @Test
  void upper_thousandsOfEvents_doesNotUnderflow() {
    assertThat(PoissonLimit.upper(5000, 0.95)).isBetween(5100.0, 5150.0);
  }

  @Test
  void upper_certainty_isRefused() {
    assertThatThrownBy(() -> PoissonLimit.upper(0, 1.0))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("confidence between 0 and 1");
  }
}
