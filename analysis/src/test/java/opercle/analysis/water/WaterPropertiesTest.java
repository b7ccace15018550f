// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.water;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import org.junit.jupiter.api.Test;

class WaterPropertiesTest {

  @Test
  void of_freshWaterAt10C_gathersThePublishedValues() {
    WaterProperties water = WaterProperties.of(WaterConditions.fresh(10.0));

    assertThat(water.saturationMgPerL()).isCloseTo(11.288, within(0.0005));
    assertThat(water.secondOpinionMgPerL()).isCloseTo(11.287, within(0.002));
    assertThat(water.secondOpinionUmolPerKg()).isCloseTo(352.84, within(0.03));
    assertThat(water.differenceMgPerL()).isCloseTo(-0.001, within(0.002));
    assertThat(water.vapourPressureKPa()).isCloseTo(1.228, within(0.001));
    assertThat(water.oxygenTensionKPa()).isCloseTo(20.97, within(0.01));
    assertThat(water.pureOxygenMgPerL()).isCloseTo(53.89, within(0.01));
    assertThat(water.ammonia())
        .filteredOn(share -> share.pH() == 8.0)
        .singleElement()
        .satisfies(share -> assertThat(share.fraction()).isCloseTo(0.0182, within(0.0002)));
  }

  /** The whole range that the water command promises, corners included. */
  @Property
  void of_anyWaterInTheContract_isKnown(
      @ForAll @DoubleRange(min = 0.0, max = 40.0) double temperature,
      @ForAll @DoubleRange(min = 0.0, max = 40.0) double salinity,
      @ForAll @DoubleRange(min = 60.0, max = 110.0) double pressure) {
    WaterProperties water =
        WaterProperties.of(new WaterConditions(temperature, salinity, pressure));

    assertThat(water.differenceMgPerL()).isBetween(-0.007, 0.007);
    assertThat(water.pureOxygenMgPerL() / water.saturationMgPerL()).isCloseTo(4.774, within(0.001));
    assertThat(water.ammonia())
        .allSatisfy(share -> assertThat(share.fraction()).isBetween(0.0, 1.0));
  }

  @Test
  void of_hotWater_isRefusedByName() {
    assertThatThrownBy(() -> WaterProperties.of(WaterConditions.fresh(55.0)))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage("Benson & Krause (1984): temperature 55 °C is outside 0–40 °C");
  }
}
