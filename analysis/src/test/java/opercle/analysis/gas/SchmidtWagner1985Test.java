// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.gas;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.stream.Stream;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import opercle.analysis.ReferenceTable;
import opercle.analysis.ReferenceTable.Row;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

class SchmidtWagner1985Test {

  static Stream<Row> propertyLibrary() {
    return ReferenceTable.rows("oxygen_Z");
  }

  /** Half a unit of the last printed digit: the coefficients were recalled, this pins them. */
  @ParameterizedTest
  @MethodSource("propertyLibrary")
  void compressibilityAndDensity_matchPropertyLibrary(Row row) {
    double t = row.number("temp_C");
    double p = 100.0 * (row.number("gauge_bar") + 1.01325);

    assertThat(SchmidtWagner1985.compressibility(t, p)).isCloseTo(row.number("Z"), within(0.00006));
    assertThat(SchmidtWagner1985.densityGPerL(t, p))
        .isCloseTo(row.number("density_kg_m3"), within(0.006));
  }

  @Property
  void pressure_ofTheDensityOfAPressure_isThatPressure(
      @ForAll @DoubleRange(min = -40.0, max = 60.0) double temperature,
      @ForAll @DoubleRange(min = 1.0, max = 34_900.0) double pressure) {
    double density = SchmidtWagner1985.densityGPerL(temperature, pressure);

    assertThat(SchmidtWagner1985.pressureKPa(temperature, density))
        .isCloseTo(pressure, within(1e-6 * pressure));
  }

  @Property
  void density_higherPressure_isHigher(
      @ForAll @DoubleRange(min = -40.0, max = 60.0) double temperature,
      @ForAll @DoubleRange(min = 0.0, max = 34_900.0) double pressure) {
    assertThat(SchmidtWagner1985.densityGPerL(temperature, pressure + 100.0))
        .isGreaterThan(SchmidtWagner1985.densityGPerL(temperature, pressure));
  }
}
