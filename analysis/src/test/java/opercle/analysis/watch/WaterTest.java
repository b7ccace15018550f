// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class WaterTest {

  private final Water water = new Water(new Probes(), 0.0);

  /** 9.092 mg/L: fresh water at 20 °C and 1 atm, in Benson &amp; Krause's and USGS' tables. */
  @Test
  void saturation_withoutSalinityAndPressureTold_isThatOfFreshWaterAtTheAltitude() {
    assertThat(water.saturationAt(20.0)).isCloseTo(9.092, within(0.002));
  }

  @ParameterizedTest
  @ValueSource(doubles = {Double.NaN, -0.1, 40.1})
  void saturation_withoutTemperatureOrBeyondTheFormula_isUnknown(double temperatureC) {
    assertThat(water.saturationAt(temperatureC)).isNaN();
  }
}
