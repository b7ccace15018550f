// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Ten minutes off, five on, 2 mg/L down and up, after a descent from water gassed for long. */
class SawToothTest {

  private static final double LIMIT = 720.0;
  private static final int OFF = 600;
  private static final int ON = 300;

  private SawTooth saw = SawTooth.NOT_HEARD;
  private int now;
  private double oxygen;

  private void run(int seconds, double perSecond) {
    for (int end = now + seconds; now < end; now += 5) {
      saw = saw.next(Micros.of((double) now), oxygen, 0.04);
      oxygen += 5 * perSecond;
    }
  }

  private void cycles(int number) {
    for (int i = 0; i < number; i++) {
      run(OFF, -2.0 / OFF);
      assertThat(saw.goesOn(Micros.of((double) now), LIMIT)).isFalse();
      run(ON, 2.0 / ON);
    }
  }

  @ParameterizedTest
  @ValueSource(doubles = {16.0, 25.0})
  void depthIsLearned_whateverCameBefore_andOxygenThatGoesOnDown_isFound(double start) {
    oxygen = start;
    run(1800, (16.0 - start) / 1800);
    cycles(8);
    assertThat(saw.usualDepth()).isCloseTo(2.0, within(0.1));
    assertThat(saw.isUsual()).isTrue();

    run(OFF + 240, -2.0 / OFF);
    assertThat(saw.goesOn(Micros.of((double) now), LIMIT)).as("14 min, 2.8 mg/L").isFalse();
    run(120, -2.0 / OFF);
    assertThat(saw.goesOn(Micros.of((double) now), LIMIT)).as("16 min, 3.2 mg/L").isTrue();
    assertThat(saw.isUsual()).isFalse();
    assertThat(saw.fall(Micros.of((double) now), Trend.NOT_HEARD).firstRatePerMinute())
        .isCloseTo(0.2, within(0.01));
  }

  @Test
  void withoutARecord_nothingIsUsual_andNothingIsFound() {
    oxygen = 16.0;
    run(7200, -0.002);
    assertThat(saw.isKnown()).isFalse();
    assertThat(saw.goesOn(Micros.of((double) now), LIMIT)).isFalse();
  }
}
