// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.water;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What holds for every oxygen solubility, whoever measured it. */
abstract class OxygenSolubilityContract {

  abstract OxygenSolubility solubility();

  /** The formula's name, as its messages begin. */
  abstract String formula();

  @Property
  void saturation_warmerWater_isLower(
      @ForAll @DoubleRange(min = 0.0, max = 39.9) double temperature,
      @ForAll @DoubleRange(min = 0.0, max = 40.0) double salinity,
      @ForAll @DoubleRange(min = 60.0, max = 110.0) double pressure) {
    assertThat(solubility().saturationMgPerL(temperature + 0.1, salinity, pressure))
        .isLessThan(solubility().saturationMgPerL(temperature, salinity, pressure));
  }

  @Property
  void saturation_saltierWater_isLower(
      @ForAll @DoubleRange(min = 0.0, max = 40.0) double temperature,
      @ForAll @DoubleRange(min = 0.0, max = 39.9) double salinity,
      @ForAll @DoubleRange(min = 60.0, max = 110.0) double pressure) {
    assertThat(solubility().saturationMgPerL(temperature, salinity + 0.1, pressure))
        .isLessThan(solubility().saturationMgPerL(temperature, salinity, pressure));
  }

  @Property
  void saturation_higherPressure_isHigher(
      @ForAll @DoubleRange(min = 0.0, max = 40.0) double temperature,
      @ForAll @DoubleRange(min = 0.0, max = 40.0) double salinity,
      @ForAll @DoubleRange(min = 60.0, max = 109.9) double pressure) {
    assertThat(solubility().saturationMgPerL(temperature, salinity, pressure + 0.1))
        .isGreaterThan(solubility().saturationMgPerL(temperature, salinity, pressure));
  }

  @Property
  void saturation_anywhereInRange_isAFewMilligrams(
      @ForAll @DoubleRange(min = 0.0, max = 40.0) double temperature,
      @ForAll @DoubleRange(min = 0.0, max = 40.0) double salinity,
      @ForAll @DoubleRange(min = 60.0, max = 110.0) double pressure) {
    assertThat(solubility().saturationMgPerL(temperature, salinity, pressure)).isBetween(2.5, 16.0);
  }

  @Test
  void saturation_conditionsTogether_areTheSameAsApart() {
    assertThat(solubility().saturationMgPerL(new WaterConditions(12.0, 3.0, 95.0)))
        .isEqualTo(solubility().saturationMgPerL(12.0, 3.0, 95.0));
  }

  @ParameterizedTest
  @ValueSource(doubles = {-0.1, 40.1, Double.NaN})
  void saturation_temperatureOutOfRange_isRefusedByName(double temperature) {
    assertThatThrownBy(() -> solubility().saturationMgPerL(temperature, 0.0, 101.325))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage(formula() + ": temperature " + temperature + " °C is outside 0–40 °C");
  }

  @ParameterizedTest
  @ValueSource(doubles = {-0.1, 42.5, Double.NaN})
  void saturation_salinityOutOfRange_isRefusedByName(double salinity) {
    assertThatThrownBy(() -> solubility().saturationMgPerL(10.0, salinity, 101.325))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageStartingWith(formula() + ": salinity " + salinity + " g/kg is outside 0–4");
  }

  @ParameterizedTest
  @ValueSource(doubles = {50.5, 111.5, 1013.25, Double.NaN})
  void saturation_pressureOutOfRange_isRefusedByName(double pressure) {
    assertThatThrownBy(() -> solubility().saturationMgPerL(10.0, 0.0, pressure))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageStartingWith(
            formula() + ": pressure " + pressure + " kPa is outside 50.6625–111.4575");
  }
}
