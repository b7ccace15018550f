// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.water;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;
import static org.assertj.core.api.Assertions.withinPercentage;

import java.util.stream.Stream;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import opercle.analysis.ReferenceTable;
import opercle.analysis.ReferenceTable.Row;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

class OxygenSaturationTest {

  private final OxygenSaturation oxygen = new OxygenSaturation();

  static Stream<Row> pureOxygenAndTension() {
    return ReferenceTable.rows("do_pure_oxygen_and_tension");
  }

  /** Non-regression: the same equations, evaluated elsewhere. */
  @ParameterizedTest
  @MethodSource("pureOxygenAndTension")
  void saturationAndTension_matchTheEquationsElsewhere(Row row) {
    WaterConditions water =
        new WaterConditions(row.number("temp_C"), 0.0, row.number("P_total_kPa"));
    double saturation = oxygen.underAirMgPerL(water);

    assertThat(saturation).isCloseTo(row.number("C_air_mg_L"), within(0.00051));
    assertThat(oxygen.underPureOxygenMgPerL(water))
        .isCloseTo(row.number("C_pureO2_mg_L"), within(0.0051));
    assertThat(oxygen.tensionKPa(saturation, water))
        .isCloseTo(row.number("pO2_air_kPa"), within(0.0051));
    assertThat(oxygen.tensionKPa(oxygen.underPureOxygenMgPerL(water), water))
        .isCloseTo(row.number("pO2_pure_kPa"), within(0.0051));
  }

  /** A metre of water is the table's second pressure; the formula's own pressure term is 0.01 %. */
  @ParameterizedTest
  @MethodSource("pureOxygenAndTension")
  void underGas_atDepth_matchesTheSamePressureAtTheSurface(Row row) {
    double depth = (row.number("P_total_kPa") - 101.325) / WaterColumn.KPA_PER_METRE;
    WaterConditions atSurface = WaterConditions.fresh(row.number("temp_C"));

    assertThat(oxygen.underGasMgPerL(atSurface, 1.0, depth))
        .isCloseTo(row.number("C_pureO2_mg_L"), withinPercentage(0.025));
  }

  @Test
  void percent_ofTheSameWaterHigherUp_isMore() {
    WaterConditions at1000M = new WaterConditions(10.0, 0.0, AirPressure.atAltitudeKPa(1000.0));

    double local = oxygen.percent(10.0, at1000M);
    double seaLevel = oxygen.percent(10.0, WaterConditions.fresh(10.0));

    assertThat(seaLevel).isCloseTo(100.0 * 10.0 / 11.288, within(0.01));
    assertThat(local / seaLevel).isCloseTo(1.0 / 0.886, within(0.002)); // air less vapour
  }

  @Property
  void percent_ofSaturation_is100(
      @ForAll @DoubleRange(min = 0.0, max = 40.0) double temperature,
      @ForAll @DoubleRange(min = 0.0, max = 40.0) double salinity,
      @ForAll @DoubleRange(min = 60.0, max = 110.0) double pressure) {
    WaterConditions water = new WaterConditions(temperature, salinity, pressure);

    assertThat(oxygen.percent(oxygen.underAirMgPerL(water), water)).isCloseTo(100.0, within(1e-9));
  }

  @Property
  void underGas_deeper_isMore(
      @ForAll @DoubleRange(min = 0.0, max = 40.0) double temperature,
      @ForAll @DoubleRange(min = 0.0, max = 9.9) double depth) {
    WaterConditions water = WaterConditions.fresh(temperature);

    assertThat(oxygen.underGasMgPerL(water, 1.0, depth + 0.1))
        .isGreaterThan(oxygen.underGasMgPerL(water, 1.0, depth));
  }

  @Test
  void underGas_airAtTheSurface_isSaturation() {
    WaterConditions water = new WaterConditions(15.0, 2.0, 98.0);

    assertThat(oxygen.underGasMgPerL(water, OxygenSaturation.OXYGEN_IN_AIR, 0.0))
        .isCloseTo(oxygen.underAirMgPerL(water), within(1e-9));
  }

  @Test
  void percent_ofAProbesLowZero_isALittleBelowZero() {
    assertThat(oxygen.percent(-0.1, WaterConditions.fresh(10.0))).isBetween(-1.0, -0.8);
  }

  @Test
  void percent_negativeOxygen_isRefusedByName() {
    assertThatThrownBy(() -> oxygen.percent(-1.25, WaterConditions.fresh(10.0)))
        .hasMessage("oxygen saturation: oxygen -1.25 mg/L is outside -0.5–200 mg/L");
  }

  @Test
  void underGas_percentForFraction_isRefusedByName() {
    assertThatThrownBy(() -> oxygen.underGasMgPerL(WaterConditions.fresh(10.0), 95.0, 0.0))
        .hasMessage("Henry's law: mole fraction of oxygen 95 is outside 0–1");
  }
}
