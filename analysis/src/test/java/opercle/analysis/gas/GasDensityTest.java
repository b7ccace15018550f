// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.gas;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;
import static org.assertj.core.api.Assertions.withinPercentage;

import java.util.stream.Stream;
import opercle.analysis.ReferenceTable;
import opercle.analysis.ReferenceTable.Row;
import opercle.analysis.farm.Tank.Gas;
import opercle.analysis.gas.GasFlow.Reference;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;

class GasDensityTest {

  static Stream<Row> propertyLibrary() {
    return ReferenceTable.rows("gas_density");
  }

  @ParameterizedTest
  @MethodSource("propertyLibrary")
  void density_matchesPropertyLibrary(Row row) {
    double t = row.number("temp_C");
    double p = row.number("P_kPa_abs");
    double density =
        row.text("gas").equals("oxygen") ? GasDensity.oxygenGPerL(t, p) : GasDensity.airGPerL(t, p);

    assertThat(density).isCloseTo(row.number("real_g_L"), withinPercentage(0.2));
  }

  @Test
  void constants_areTheDensitiesAt15C() {
    assertThat(GasDensity.OXYGEN_AT_15_C_G_PER_L)
        .isCloseTo(GasDensity.oxygenGPerL(15.0, 101.325), within(0.00001));
    assertThat(GasDensity.AIR_AT_15_C_G_PER_L)
        .isCloseTo(GasDensity.airGPerL(15.0, 101.325), withinPercentage(0.1));
    assertThat(GasDensity.OXYGEN_IN_AIR_BY_MASS)
        .isCloseTo(0.20946 * 31.9988 / 28.9655, within(0.0001));
  }

  @Test
  void airDensity_atCylinderPressure_isRefusedByName() {
    assertThatThrownBy(() -> GasDensity.airGPerL(15.0, 20_000.0))
        .hasMessage("density of air: absolute pressure 20000 kPa is outside 0–200 kPa");
  }

  @Test
  void oxygenDensity_tooCold_isRefusedByName() {
    assertThatThrownBy(() -> GasDensity.oxygenGPerL(-50.0, 100.0))
        .hasMessage("oxygen, Schmidt & Wagner (1985): temperature -50 °C is outside -40–60 °C");
  }

  static Stream<Row> flowUnits() {
    return ReferenceTable.rows("flow_units");
  }

  @ParameterizedTest
  @MethodSource("flowUnits")
  void litre_ofEachReference_matchesPropertyLibrary(Row row) {
    double relative = litresAt15C(row.text("reference"));

    assertThat(relative).isCloseTo(row.number("relative_to_15C"), withinPercentage(0.05));
    assertThat(GasFlow.oxygenMgPerMin(Gas.OXYGEN, relative))
        .isCloseTo(1000.0 * row.number("g_per_min_per_L_min"), withinPercentage(0.05));
  }

  private static double litresAt15C(String printed) {
    return switch (printed.substring(0, Math.min(14, printed.length()))) {
      case "0 degC 1 atm (" -> Reference.NORMAL_0_C.litresAt15C();
      case "0 degC 1 bar (" -> 288.15 / 273.15 / 1.01325; // no meter of ours reads in these
      case "15 degC 1 atm " -> Reference.STANDARD_15_C.litresAt15C();
      case "15 degC 1 bar " -> Reference.TRADE_15_C_1_BAR.litresAt15C();
      case "20 degC 1 atm " -> Reference.METER_20_C.litresAt15C();
      case "25 degC 1 atm" -> Reference.METER_25_C.litresAt15C();
      default -> throw new IllegalArgumentException(printed);
    };
  }

  /** A meter in normal litres shows 5 % less than one at 15 °C. */
  @Test
  void flow_inNormalLitres_isMoreAt15C() {
    assertThat(GasFlow.at15CLPerMin(10.0, Reference.NORMAL_0_C)).isCloseTo(10.549, within(0.001));
  }

  /** Printed: 10 L/min of air at 20 °C carry 167 g of oxygen an hour. */
  @Test
  void oxygen_inAir_matchesWorkedExample() {
    double at15C = GasFlow.at15CLPerMin(10.0, Reference.METER_20_C);

    assertThat(60.0 * GasFlow.oxygenMgPerMin(Gas.AIR, at15C) / 1000.0)
        .isCloseTo(167.0, within(0.5));
  }

  @ParameterizedTest
  @CsvSource({"-1", "NaN", "1e6"})
  void flow_outOfRange_isRefusedByName(double flow) {
    assertThatThrownBy(() -> GasFlow.oxygenMgPerMin(Gas.OXYGEN, flow))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageMatching("gas flow: flow \\S+ L/min is outside 0–100000 L/min");
  }
}
