// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.water;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;
import static org.assertj.core.api.Assertions.withinPercentage;

import java.util.stream.Stream;
import opercle.analysis.ReferenceTable;
import opercle.analysis.ReferenceTable.Row;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

class BensonKrause1980Test {

  static Stream<Row> steamTable() {
    return ReferenceTable.rows("water_vapour_pressure");
  }

  @ParameterizedTest
  @MethodSource("steamTable")
  void vapourPressure_matchesIapws95(Row row) {
    assertThat(BensonKrause1980.vapourPressureKPa(row.number("temp_C")))
        .isCloseTo(row.number("iapws95_kPa"), withinPercentage(0.2));
  }

  /** Non-regression: the same equation, printed to four decimals. */
  @ParameterizedTest
  @MethodSource("steamTable")
  void vapourPressure_matchesTheEquationElsewhere(Row row) {
    assertThat(BensonKrause1980.vapourPressureKPa(row.number("temp_C")))
        .isCloseTo(row.number("bk_eq23_kPa"), within(0.00006));
  }

  @Test
  void vapourPressure_outOfRange_isRefusedByName() {
    assertThatThrownBy(() -> BensonKrause1980.vapourPressureKPa(100.0))
        .hasMessage(
            "vapour pressure, Benson & Krause (1980): temperature 100 °C is outside 0–40 °C");
  }
}
