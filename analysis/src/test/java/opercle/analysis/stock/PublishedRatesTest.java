// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.stock;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.util.Map;
import java.util.stream.Stream;
import opercle.analysis.ReferenceTable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;

/** The published respiration curves against the tables they come from. */
class PublishedRatesTest {

  static Stream<ReferenceTable.Row> ottRows() {
    return ReferenceTable.rows("fish_o2_consumption")
        .filter(r -> r.text("source").startsWith("Ott,"));
  }

  /** Validation: the seven measurements, as measured. */
  @ParameterizedTest
  @MethodSource("ottRows")
  void ott_atTheFishMeasured_givesTheRateMeasured(ReferenceTable.Row row) {
    Ott1980 ott =
        row.text("common_name").equals("common carp") ? Ott1980.COMMON_CARP : Ott1980.RAINBOW_TROUT;

    assertThat(ott.mgPerKgPerHour(row.number("mass_g") / 1000.0, row.number("temp_C")))
        .isCloseTo(row.number("mg_O2_kg_h"), within(1e-9));
  }

  @Test
  void ott_table_hasAllSevenRows() {
    assertThat(ottRows()).hasSize(7);
  }

  @Test
  void ott_betweenTwoTemperatures_isTheirGeometricMean() {
    double middle = Ott1980.COMMON_CARP.mgPerKgPerHour(1.5, 12.5);

    assertThat(middle * middle)
        .isCloseTo(
            Ott1980.COMMON_CARP.mgPerKgPerHour(1.5, 10.0)
                * Ott1980.COMMON_CARP.mgPerKgPerHour(1.5, 15.0),
            within(1e-9));
  }

  @Test
  void ott_outsideWhatWasMeasured_isRefusedByName() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Ott1980.RAINBOW_TROUT.mgPerKgPerHour(0.6, 5.0))
        .withMessage("Ott et al. (1980): temperature 5 °C is outside 10–20 °C");
  }

  /** Printed to one decimal. */
  @ParameterizedTest
  @CsvSource({
    "cyprinid_100g, CYPRINIDS, 0.1",
    "cyprinid_500g, CYPRINIDS, 0.5",
    "cyprinid_1000g, CYPRINIDS, 1",
    "cyprinid_2000g, CYPRINIDS, 2",
    "salmonid_300g, SALMONIDS, 0.3",
    "salmonid_1000g, SALMONIDS, 1"
  })
  void winberg_matchesEveryRowOfItsTable(String column, Winberg1956 group, double massKg) {
    assertThat(ReferenceTable.rows("fish_winberg_routine"))
        .hasSize(26)
        .allSatisfy(
            row ->
                assertThat(group.mgPerKgPerHour(massKg, row.number("temp_C")))
                    .isCloseTo(row.number(column), within(0.0501)));
  }

  @Test
  void winberg_outsideKroghsTable_isRefusedByName() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Winberg1956.CYPRINIDS.mgPerKgPerHour(1.0, 4.0))
        .withMessageContaining("Winberg (1956)")
        .withMessageContaining("4 °C is outside 5–30 °C");
  }

  private static final Map<String, BioenergeticsRespiration> SETS =
      Map.of(
          "Silver carp", BioenergeticsRespiration.SILVER_CARP,
          "Bighead carp", BioenergeticsRespiration.BIGHEAD_CARP,
          "Roach", BioenergeticsRespiration.ROACH,
          "Perch 100 g", BioenergeticsRespiration.PERCH,
          "Pike adult", BioenergeticsRespiration.PIKE_ADULT,
          "Rainbow trout adult", BioenergeticsRespiration.RAINBOW_TROUT_ADULT,
          "Rainbow trout adult ACT=1", BioenergeticsRespiration.RAINBOW_TROUT_ADULT);

  /** Regression: the same formula worked elsewhere, printed to one decimal. */
  @Test
  void bioenergetics_matchesEveryRowOfTheCheckTable() {
    assertThat(ReferenceTable.rows("fish_bioenergetics_check"))
        .hasSize(48)
        .allSatisfy(
            row -> {
              BioenergeticsRespiration set = SETS.get(row.text("set"));
              assertThat(set).isNotNull();
              double atRest = row.text("set").endsWith("ACT=1") ? set.activityFactor() : 1.0;
              assertThat(
                      set.mgPerKgPerHour(row.number("mass_g") / 1000.0, row.number("temp_C"))
                          / atRest)
                  .isCloseTo(row.number("mg_O2_kg_h"), within(0.0501));
            });
  }

  @Test
  void bioenergetics_aboveItsOptimum_isRefusedByName() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> BioenergeticsRespiration.RAINBOW_TROUT_ADULT.mgPerKgPerHour(0.3, 24.0))
        .withMessageContaining("Railsback & Rose 1999")
        .withMessageContaining("24 °C is outside 0–22 °C");
  }

  /** Validation: exact against the printed manual, which works in whole pounds. */
  @Test
  void piper_matchesThePrintedLoads() {
    assertThat(ReferenceTable.rows("piper_load_temperature"))
        .hasSize(3)
        .allSatisfy(
            row ->
                assertThat(
                        1000.0 * PiperLoadTemperature.factor((row.number("temp_F") - 32.0) / 1.8))
                    .isCloseTo(row.number("permissible_lb_of_9_inch_trout"), within(1e-9)));
  }

  @Test
  void piper_outsideTheWorkedExample_isRefusedByName() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> PiperLoadTemperature.factor(20.0))
        .withMessageContaining("Piper et al. (1982)")
        .withMessageContaining("20 °C is outside");
  }
}
