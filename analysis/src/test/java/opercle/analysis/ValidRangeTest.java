// SPDX-License-Identifier: Apache-2.0
package opercle.analysis;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class ValidRangeTest {

  private static final ValidRange WARMTH =
      new ValidRange("some formula", "temperature", -0.5, 40.0, "°C");

  @ParameterizedTest
  @ValueSource(doubles = {-0.5, 0.0, 40.0})
  void require_valueInside_returnsIt(double value) {
    assertThat(WARMTH.require(value)).isEqualTo(value);
  }

  @ParameterizedTest
  @ValueSource(
      doubles = {-0.51, 40.001, Double.NaN, Double.NEGATIVE_INFINITY, Double.POSITIVE_INFINITY})
  void require_valueOutside_isRefused(double value) {
    assertThatThrownBy(() -> WARMTH.require(value)).isInstanceOf(IllegalArgumentException.class);
  }

  @Test
  void require_valueOutside_namesFormulaQuantityValueRangeAndUnit() {
    assertThatThrownBy(() -> WARMTH.require(55))
        .hasMessage("some formula: temperature 55 °C is outside -0.5–40 °C");
  }

  /** A worked-out value has seven digits, but never so few that it looks to be inside. */
  @Test
  void require_valueOfManyDigitsOutside_isToldInAFew() {
    assertThatThrownBy(() -> WARMTH.require(57.72829233454436))
        .hasMessage("some formula: temperature 57.72829 °C is outside -0.5–40 °C");
    assertThatThrownBy(() -> WARMTH.require(40.00000000001))
        .hasMessage("some formula: temperature 40.00000000001 °C is outside -0.5–40 °C");
  }

  @Test
  void require_pureNumberOutside_hasNoUnit() {
    ValidRange ph = new ValidRange("some formula", "pH", 6.0, 10.0, "");

    assertThatThrownBy(() -> ph.require(11.25))
        .hasMessage("some formula: pH 11.25 is outside 6–10");
  }
}
