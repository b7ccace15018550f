// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.stream.Stream;
import opercle.analysis.Band;
import opercle.analysis.ReferenceTable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** Against the contents of the cylinder table, which are those of the real gas. */
class CylinderLeftTest {

  private static final double FLOW_L_PER_MIN = 3.0;

  static Stream<ReferenceTable.Row> contents() {
    return ReferenceTable.rows("cylinder_contents");
  }

  @ParameterizedTest
  @MethodSource("contents")
  void band_holdsWhatTheRealGasLasts(ReferenceTable.Row row) {
    Band band =
        CylinderLeft.minutesToEmpty(
            row.number("water_volume_L"), row.number("gauge_bar"), FLOW_L_PER_MIN);

    assertThat(row.number("usable_L_to_5bar") / FLOW_L_PER_MIN).isBetween(band.low(), band.high());
  }

  @Test
  void underTheReserve_theEarliestEndIsNow() {
    Band band = CylinderLeft.minutesToEmpty(20.0, 8.0, 2.0);

    assertThat(band.low()).isZero();
    assertThat(band.likely()).isPositive();
    assertThat(CylinderLeft.minutesToEmpty(20.0, -0.5, 2.0)).isEqualTo(Band.exactly(0.0));
  }
}
