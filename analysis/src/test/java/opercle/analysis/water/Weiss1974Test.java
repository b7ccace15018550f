// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.water;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;
import static org.assertj.core.api.Assertions.withinPercentage;

import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class Weiss1974Test {

  /** A litre of the gas at 0 °C and 1 atm is this many moles: real gas, molar volume 22.26 L. */
  private static final double MOL_PER_L_OF_GAS = 1.0 / 22.26;

  /** Older handbook values of Bunsen's coefficient, litres of gas in a litre of fresh water. */
  @ParameterizedTest
  @CsvSource({"0, 1.713", "10, 1.194", "20, 0.878", "25, 0.759"}) // from memory
  void solubility_inFreshWater_isNearHandbookValues(double temperatureC, double bunsen) {
    assertThat(Weiss1974.molPerLAtm(temperatureC, 0.0) / MOL_PER_L_OF_GAS)
        .isCloseTo(bunsen, withinPercentage(1.5));
  }

  /**
   * The check value that goes with the paper's other set of coefficients, ln K₀ = −3.5617 in
   * mol/(kg·atm) at 25 °C and salinity 35 (from memory), by way of the density of sea water.
   */
  @Test
  void solubility_inSeaWater_agreesWithTheCheckValuePerKilogram() {
    double kgPerL = 1.0233;

    assertThat(Math.log(Weiss1974.molPerLAtm(25.0, 35.0) / kgPerL))
        .isCloseTo(-3.5617, within(0.002));
  }

  @Test
  void tension_ofWaterInEquilibriumWithAGas_isThatOfTheGas() {
    double mgPerL = 0.01 * Weiss1974.molPerLAtm(10.0, 3.0) * 44009.5;

    assertThat(Weiss1974.tensionKPa(mgPerL, 10.0, 3.0)).isCloseTo(1.01325, within(1e-9));
  }

  @Property
  void solubility_fallsWithWarmthAndSalt(
      @ForAll @DoubleRange(min = -1.0, max = 39.9) double temperature,
      @ForAll @DoubleRange(min = 0.0, max = 39.9) double salinity) {
    double here = Weiss1974.molPerLAtm(temperature, salinity);

    assertThat(Weiss1974.molPerLAtm(temperature + 0.1, salinity)).isLessThan(here);
    assertThat(Weiss1974.molPerLAtm(temperature, salinity + 0.1)).isLessThan(here);
  }

  @Test
  void solubility_outOfRange_isRefusedByName() {
    assertThatThrownBy(() -> Weiss1974.molPerLAtm(55.0, 0.0))
        .hasMessage(
            "carbon dioxide solubility, Weiss (1974): temperature 55 °C is outside -1–40 °C");
    assertThatThrownBy(() -> Weiss1974.tensionKPa(-1.0, 10.0, 0.0))
        .hasMessage(
            "carbon dioxide solubility, Weiss (1974): carbon dioxide -1 mg/L is outside 0–2000 mg/L");
  }
}
