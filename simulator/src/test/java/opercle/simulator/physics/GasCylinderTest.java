// SPDX-License-Identifier: Apache-2.0
package opercle.simulator.physics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.assertj.core.data.Percentage;
import org.junit.jupiter.api.Test;

class GasCylinderTest {

  @Test
  void contents_matchThePublishedTable() {
    List<List<String>> rows = Reference.rows("cylinder_contents.csv");
    assertThat(rows).hasSizeGreaterThan(100);

    for (List<String> row : rows) {
      GasCylinder cylinder =
          GasCylinder.at(
              Double.parseDouble(row.get(0)),
              Double.parseDouble(row.get(1)),
              Double.parseDouble(row.get(2)));

      // compressibility is fitted within 0.0015; small cylinders are printed to a litre
      assertThat(cylinder.freeLitres())
          .as(row.toString())
          .isCloseTo(Double.parseDouble(row.get(4)), Percentage.withPercentage(0.5));
    }
  }

  /** A closed cylinder that shows 200 bar at 15 °C: library equation of state. */
  @Test
  void closedCylinder_cooled_showsLess() {
    GasCylinder cylinder = GasCylinder.at(50.0, 200.0, 15.0);

    assertThat(cylinder.gaugeBar(0.0)).isCloseTo(183.5, within(0.8));
    assertThat(cylinder.gaugeBar(-10.0)).isCloseTo(172.5, within(1.2));
  }

  @Test
  void draw_moreThanIsThere_leavesNothing() {
    GasCylinder cylinder = GasCylinder.at(2.0, 1.0, 15.0);

    cylinder.draw(1000.0);

    assertThat(cylinder.freeLitres()).isZero();
    assertThat(cylinder.gaugeBar(15.0)).isCloseTo(-1.01325, within(1e-9));
  }
}
