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

class AirPressureTest {

  static Stream<Row> standardAtmosphere() {
    return ReferenceTable.rows("altitude_pressure");
  }

  /** The library's atmosphere tells geometric from geopotential altitude; the formula does not. */
  @ParameterizedTest
  @MethodSource("standardAtmosphere")
  void pressure_matchesStandardAtmosphere(Row row) {
    assertThat(10.0 * AirPressure.atAltitudeKPa(row.number("altitude_m")))
        .isCloseTo(row.number("us1976_hPa"), withinPercentage(0.02));
  }

  @ParameterizedTest
  @MethodSource("standardAtmosphere")
  void pressure_matchesTheFormulaElsewhere(Row row) {
    assertThat(10.0 * AirPressure.atAltitudeKPa(row.number("altitude_m")))
        .isCloseTo(row.number("short_formula_hPa"), within(0.006));
  }

  @Property
  void pressure_higherUp_isLower(@ForAll @DoubleRange(min = -500.0, max = 4999.0) double altitude) {
    assertThat(AirPressure.atAltitudeKPa(altitude + 1.0))
        .isLessThan(AirPressure.atAltitudeKPa(altitude));
  }

  /** Every altitude that is accepted must leave a pressure that the saturation curve accepts. */
  @Property
  void pressure_atAnyAltitude_isInRangeOfTheSaturationCurve(
      @ForAll @DoubleRange(min = -500.0, max = 5000.0) double altitude) {
    assertThat(
            new BensonKrause1984().saturationMgPerL(10.0, 0.0, AirPressure.atAltitudeKPa(altitude)))
        .isPositive();
  }

  @Test
  void pressure_altitudeInFeetOnAMountain_isRefusedByName() {
    assertThatThrownBy(() -> AirPressure.atAltitudeKPa(8000.0))
        .hasMessage("standard atmosphere: altitude 8000 m is outside -500–5000 m");
  }

  @Test
  void waterColumn_oneMetreDown_addsATenthOfAnAtmosphere() {
    assertThat(WaterColumn.pressureKPa(101.325, 1.0)).isCloseTo(111.13, within(0.01));
  }

  @Test
  void waterColumn_aboveTheWater_isRefusedByName() {
    assertThatThrownBy(() -> WaterColumn.pressureKPa(101.325, -0.1))
        .hasMessage("water column: depth -0.1 m is outside 0–10 m");
  }
}
