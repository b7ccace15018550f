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
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;

class CarbonDioxideTest {

  static Stream<Row> dissociationConstants() {
    return ReferenceTable.rows("co2_pk1");
  }

  @ParameterizedTest
  @MethodSource("dissociationConstants")
  void pK1_matchesPrintedList_andHarnedAndDavis(Row row) {
    double pK1 = PlummerBusenberg1982.pK1(row.number("temp_C"));

    assertThat(pK1).isCloseTo(row.number("quoted_pK"), within(0.008));
    assertThat(pK1).isCloseTo(row.number("HD43_pK1"), within(0.003));
    assertThat(pK1).isCloseTo(row.number("PB82_pK1"), within(0.00006));
  }

  static Stream<Row> tucker1984() {
    return ReferenceTable.rows("co2_factor_from_ph_alkalinity")
        .filter(row -> row.number("pH") <= 7.6);
  }

  @ParameterizedTest
  @MethodSource("tucker1984")
  void free_fromPHAndAlkalinity_matchesTucker(Row row) {
    assertThat(CarbonDioxide.freeMgPerL(row.number("pH"), 1.0, row.number("temp_C"), 0.0))
        .isCloseTo(row.number("factor"), withinPercentage(3.0));
  }

  /** Worked in the science notes: alkalinity 100 mg/L, 20 °C. */
  @ParameterizedTest
  @CsvSource({"2, 8.02", "20, 7.02", "40, 6.72"})
  void pH_workedExample(double carbonDioxide, double expected) {
    assertThat(CarbonDioxide.pH(carbonDioxide, 100.0, 20.0, 0.0))
        .isCloseTo(expected, within(0.006));
  }

  @Property
  void pH_ofTheFreeCarbonDioxideOfAPH_isThatPH(
      @ForAll @DoubleRange(min = 6.5, max = 8.5) double pH,
      @ForAll @DoubleRange(min = 50.0, max = 400.0) double alkalinity,
      @ForAll @DoubleRange(min = 0.0, max = 40.0) double temperature,
      @ForAll @DoubleRange(min = 0.0, max = 6.0) double salinity) {
    double free = CarbonDioxide.freeMgPerL(pH, alkalinity, temperature, salinity);

    assertThat(CarbonDioxide.pH(free, alkalinity, temperature, salinity))
        .isCloseTo(pH, within(1e-9));
  }

  /** 100 kg of carp in 900 L at 60 mg/kg/h: the worked closed tank of the science notes. */
  @Test
  void respired_closedTank_isEightMilligramsPerLitreAnHour() {
    double perHour =
        CarbonDioxide.respiredMg(100.0 * 60.0, CarbonDioxide.USUAL_RESPIRATORY_QUOTIENT);

    assertThat(perHour / 900.0).isCloseTo(7.8, within(0.05));
  }

  /** From memory, like the term itself: 3 g/kg of salt shift pK1 by 0.085. */
  @Test
  void free_saltedWater_isLess() {
    double fresh = CarbonDioxide.freeMgPerL(7.0, 100.0, 10.0, 0.0);
    double salted = CarbonDioxide.freeMgPerL(7.0, 100.0, 10.0, 3.0);

    assertThat(Math.log10(fresh / salted)).isCloseTo(0.085, within(0.002));
  }

  @Test
  void free_pHTooHigh_isRefusedByName() {
    assertThatThrownBy(() -> CarbonDioxide.freeMgPerL(8.9, 100.0, 10.0, 0.0))
        .hasMessage("carbon dioxide from pH and alkalinity: pH 8.9 is outside 5–8.5");
  }

  @Test
  void pK1_boilingWater_isRefusedByName() {
    assertThatThrownBy(() -> PlummerBusenberg1982.pK1(100.0))
        .hasMessage("pK1, Plummer & Busenberg (1982): temperature 100 °C is outside 0–40 °C");
  }
}
