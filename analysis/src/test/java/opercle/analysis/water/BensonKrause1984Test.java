// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.water;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.stream.Stream;
import opercle.analysis.ReferenceTable;
import opercle.analysis.ReferenceTable.Row;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

class BensonKrause1984Test extends OxygenSolubilityContract {

  private static final double KPA_PER_MM_HG = 101.325 / 760.0;

  private final BensonKrause1984 solubility = new BensonKrause1984();

  @Override
  OxygenSolubility solubility() {
    return solubility;
  }

  @Override
  String formula() {
    return "Benson & Krause (1984)";
  }

  // Validation: tables that others computed or printed.

  static Stream<Row> standardMethods() {
    return ReferenceTable.rows("do_fresh_1atm_standard_methods");
  }

  @ParameterizedTest
  @MethodSource("standardMethods")
  void freshWater_matchesStandardMethods(Row row) {
    double saturation = freshMgPerL(row.number("temp_C"));

    assertThat(saturation).isCloseTo(row.number("printed_mg_L"), within(0.002));
    if (!row.isBlank("reread_mg_L")) {
      assertThat(saturation).isCloseTo(row.number("reread_mg_L"), within(0.002));
    }
  }

  static Stream<Row> europeanStandard() {
    return ReferenceTable.rows("do_fresh_1atm_en25814");
  }

  /** One decimal is printed up to 15 °C, two above. */
  @ParameterizedTest
  @MethodSource("europeanStandard")
  void freshWater_matchesEn25814(Row row) {
    double tolerance = row.number("temp_C") < 16.0 ? 0.065 : 0.006;

    assertThat(freshMgPerL(row.number("temp_C")))
        .isCloseTo(row.number("L_mg_L"), within(tolerance));
  }

  /** The standard's slope is a mean over a wide range of salt, so a little flatter than ours. */
  @ParameterizedTest
  @MethodSource("europeanStandard")
  void saltSlope_matchesEn25814(Row row) {
    double t = row.number("temp_C");
    double slope = (freshMgPerL(t) - solubility.saturationMgPerL(t, 10.0, 101.325)) / 10.0;

    assertThat(slope).isCloseTo(row.number("K_mg_L_per_g_kg"), within(0.012));
  }

  static Stream<Row> teos10Toolbox() {
    return ReferenceTable.rows("do_gsw_o2sol");
  }

  /** An independent library, another fit of the same measurements, at seven salinities. */
  @ParameterizedTest
  @MethodSource("teos10Toolbox")
  void saltWater_matchesTeos10Toolbox(Row row) {
    assertThat(
            solubility.saturationMgPerL(row.number("temp_C"), row.number("salinity_psu"), 101.325))
        .isCloseTo(row.number("O2_mg_L"), within(0.003));
  }

  static Stream<Row> pointChecks() {
    return ReferenceTable.rows("do_point_checks")
        .filter(row -> row.text("unit").equals("mg/L"))
        // Garcia & Gordon's own point is theirs to meet.
        .filter(row -> !row.text("quantity").startsWith("O2 at saturation"));
  }

  @ParameterizedTest
  @MethodSource("pointChecks")
  void saturation_matchesSingleValues(Row row) {
    assertThat(
            solubility.saturationMgPerL(
                row.number("temp_C"), row.number("salinity"), row.number("pressure_kPa")))
        .isCloseTo(row.number("value"), within(row.number("tolerance")));
  }

  static Stream<Row> olderPressureTable() {
    return ReferenceTable.rows("do_fresh_pressure_older_table");
  }

  /** One decimal and an older generation of data: the sign and the size of the pressure term. */
  @ParameterizedTest
  @MethodSource("olderPressureTable")
  void pressure_matchesOlderTable(Row row) {
    assertThat(
            solubility.saturationMgPerL(
                row.number("temp_C"), 0.0, row.number("pressure_mmHg") * KPA_PER_MM_HG))
        .isCloseTo(row.number("table_mg_L"), within(0.2));
  }

  static Stream<Row> olderChlorinityTable() {
    return ReferenceTable.rows("do_chlorinity_older_table");
  }

  @ParameterizedTest
  @MethodSource("olderChlorinityTable")
  void salt_matchesOlderTableOfChlorinity(Row row) {
    assertThat(
            solubility.saturationMgPerL(
                row.number("temp_C"), row.number("salinity_g_kg_equiv"), 101.325))
        .isCloseTo(row.number("table_mg_L"), within(0.12));
  }

  // Non-regression: the same equation, evaluated elsewhere; printed to three decimals.

  static Stream<Row> equationGrid() {
    return ReferenceTable.rows("do_equation_grid");
  }

  @ParameterizedTest
  @MethodSource("equationGrid")
  void saturation_matchesEquationGrid(Row row) {
    assertThat(
            solubility.saturationMgPerL(
                row.number("temp_C"),
                row.number("salinity_g_kg"),
                row.number("pressure_mmHg") * KPA_PER_MM_HG))
        .isCloseTo(row.number("O2_mg_L"), within(0.00051));
  }

  private double freshMgPerL(double temperatureC) {
    return solubility.saturationMgPerL(temperatureC, 0.0, 101.325);
  }
}
