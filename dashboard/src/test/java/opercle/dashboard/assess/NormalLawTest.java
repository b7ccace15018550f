// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;
import static org.assertj.core.api.Assertions.withinPercentage;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class NormalLawTest {

  /** Tails that any statistical table prints; from memory. */
  @ParameterizedTest
  @CsvSource({
    "0, 0.5",
    "1, 0.158655254",
    "1.959963985, 0.025",
    "3, 0.001349898",
    "4, 3.167124e-5",
    "5, 2.866516e-7",
    "6, 9.865876e-10",
    "-1, 0.841344746"
  })
  void upperTail_isThatOfTheTables(double x, double tail) {
    assertThat(NormalLaw.upperTail(x)).isCloseTo(tail, withinPercentage(1e-4));
  }

  @Test
  void upperTail_seriesAndFraction_meet() {
    assertThat(NormalLaw.upperTail(3.0 - 1e-12)).isCloseTo(NormalLaw.upperTail(3.0), within(1e-13));
  }

  @ParameterizedTest
  @ValueSource(doubles = {1e-7, 2.3e-5, 0.025, 0.5, 0.9})
  void upperQuantile_undoesTheTail(double probability) {
    assertThat(NormalLaw.upperTail(NormalLaw.upperQuantile(probability)))
        .isCloseTo(probability, withinPercentage(1e-6));
  }

  @ParameterizedTest
  @ValueSource(doubles = {0.0, 1.0, Double.NaN})
  void upperQuantile_ofNoProbability_isRefused(double probability) {
    assertThatThrownBy(() -> NormalLaw.upperQuantile(probability))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("between 0 and 1");
  }
}
