// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.water;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import org.junit.jupiter.api.Test;

class TotalGasPressureTest {

  private static final WaterConditions WATER = WaterConditions.fresh(10.0);

  /** The worked example of the science notes: nitrogen at equilibrium, oxygen at 150 %. */
  @Test
  void inTank_oxygenAt150Percent_is110Percent() {
    TotalGasPressure gas = TotalGasPressure.inTank(WATER, 1.5 * 11.288, 1.0);

    assertThat(gas.deltaPKPa()).isCloseTo(10.5, within(0.1));
    assertThat(gas.deltaPMmHg()).isCloseTo(79.0, within(0.75));
    assertThat(gas.percent()).isCloseTo(110.0, within(0.5));
  }

  /** The same oxygen, but pure oxygen has driven a fifth of the nitrogen out: below the air. */
  @Test
  void inTank_nitrogenDrivenOut_isBelowTheAir() {
    assertThat(TotalGasPressure.inTank(WATER, 1.5 * 11.288, 0.8).deltaPKPa())
        .isCloseTo(-5.4, within(0.1));
  }

  /** 20 mg/L at 10 °C is 0.0085 atm by Henry's constant of Weiss (1974). */
  @Test
  void inTank_withCarbonDioxide_isItsTensionMore() {
    double without = TotalGasPressure.inTank(WATER, 10.0, 1.0).totalKPa();
    double with = TotalGasPressure.inTank(WATER, 10.0, 1.0, 20.0).totalKPa();

    assertThat(with - without).isCloseTo(0.858, within(0.005));
  }

  @Test
  void of_parts_addsThem() {
    TotalGasPressure gas = TotalGasPressure.of(80.0, 25.0, 1.0, 1.2, 101.2);

    assertThat(gas.totalKPa()).isCloseTo(107.2, within(1e-9));
    assertThat(gas.deltaPKPa()).isCloseTo(6.0, within(1e-9));
    assertThat(gas.deltaPMmHg()).isCloseTo(45.0, within(0.01));
    assertThat(gas.percent()).isCloseTo(105.93, within(0.01));
  }

  /** Mole fractions of oxygen and of nitrogen with argon leave out 0.03 % of carbon dioxide. */
  @Property
  void inTank_inEquilibriumWithAir_isThePressureOfTheAir(
      @ForAll @DoubleRange(min = 0.0, max = 40.0) double temperature,
      @ForAll @DoubleRange(min = 60.0, max = 110.0) double pressure) {
    WaterConditions water = new WaterConditions(temperature, 0.0, pressure);
    double saturation = new OxygenSaturation().underAirMgPerL(water);

    assertThat(TotalGasPressure.inTank(water, saturation, 1.0).percent())
        .isCloseTo(100.0, within(0.05));
  }

  @Test
  void inTank_nitrogenInPercent_isRefusedByName() {
    assertThatThrownBy(() -> TotalGasPressure.inTank(WATER, 10.0, 100.0))
        .hasMessage("total gas pressure: nitrogen as a share of equilibrium 100 is outside 0–3");
  }
}
