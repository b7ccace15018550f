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

class Emerson1975Test {

  /** Flagged cells are left out: a misprint, and a column that the source has set wrong. */
  static Stream<Row> freshWater() {
    return ReferenceTable.rows("ammonia_fraction_fresh").filter(row -> row.isBlank("flag"));
  }

  @ParameterizedTest
  @MethodSource("freshWater")
  void fraction_inFreshWater_matchesPrintedTable(Row row) {
    assertThat(Emerson1975.fraction(row.number("pH"), row.number("temp_C"), 0.0))
        .isCloseTo(row.number("fraction"), within(0.0002));
  }

  static Stream<Row> freshPercent() {
    return percent("fresh");
  }

  /** Trussell (1972) is another fit, up to 3 % away at 25 °C, and printed to 0.01 %. */
  @ParameterizedTest
  @MethodSource("freshPercent")
  void fraction_inFreshWater_isNearTrussell(Row row) {
    double fraction = Emerson1975.fraction(row.number("pH"), row.number("temp_C"), 0.0);

    assertThat(100.0 * fraction)
        .isCloseTo(row.number("percent_NH3"), within(0.03 * row.number("percent_NH3") + 0.005));
  }

  static Stream<Row> seaPercent() {
    return percent("sea S=34");
  }

  /** The salt term is our own fit, medium confidence. */
  @ParameterizedTest
  @MethodSource("seaPercent")
  void fraction_inSeaWater_isNearBowerAndBidwell(Row row) {
    double fraction = Emerson1975.fraction(row.number("pH"), row.number("temp_C"), 34.0);

    assertThat(100.0 * fraction).isCloseTo(row.number("percent_NH3"), withinPercentage(3.0));
  }

  private static Stream<Row> percent(String water) {
    return ReferenceTable.rows("ammonia_percent_fresh_and_sea")
        .filter(row -> row.text("water").equals(water))
        .filter(row -> row.isBlank("flag"));
  }

  /** Printed worked example: 24 °C, pH 8, 1 mg/L total as nitrogen. */
  @Test
  void ammonia_workedExample_isTheFractionTimesTheMassOfNH3() {
    assertThat(Emerson1975.ammoniaMgPerL(1.0, 8.0, 24.0, 0.0))
        .isCloseTo(0.0502 * 17.031 / 14.007, within(0.0001));
  }

  @Property
  void fraction_isAShare_thatRisesWithPH_andWithWarmth_andFallsWithSalt(
      @ForAll @DoubleRange(min = 6.0, max = 9.9) double pH,
      @ForAll @DoubleRange(min = 0.0, max = 39.9) double temperature,
      @ForAll @DoubleRange(min = 0.0, max = 39.9) double salinity) {
    double fraction = Emerson1975.fraction(pH, temperature, salinity);

    assertThat(fraction).isBetween(0.0, 1.0);
    assertThat(Emerson1975.fraction(pH + 0.1, temperature, salinity)).isGreaterThan(fraction);
    assertThat(Emerson1975.fraction(pH, temperature + 0.1, salinity)).isGreaterThan(fraction);
    assertThat(Emerson1975.fraction(pH, temperature, salinity + 0.1)).isLessThan(fraction);
  }

  @Test
  void fraction_pHOutOfRange_isRefusedByName() {
    assertThatThrownBy(() -> Emerson1975.fraction(5.5, 10.0, 0.0))
        .hasMessage("un-ionised ammonia, Emerson et al. (1975): pH 5.5 is outside 6–10");
  }
}
