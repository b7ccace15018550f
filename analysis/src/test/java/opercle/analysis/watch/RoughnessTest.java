// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class RoughnessTest {

  private static final double NOISE = 0.05;

  private final Random random = new Random(3);
  private Roughness roughness = Roughness.NOT_HEARD;

  @Test
  void learnedNoise_isHardlyEverRough() {
    double sum = 0.0;
    int rough = 0;
    for (int i = 0; i < 100_000; i++) {
      feed(9.0 + NOISE * random.nextGaussian());
      sum += roughness.square();
      rough += roughness.times() > 1.0 ? 1 : 0;
    }

    assertThat(sum / 100_000).isEqualTo(1.0, within(0.03)); // of which the clip takes 0.02
    assertThat(rough).isLessThan(2000);
  }

  @Test
  void threefoldNoise_isRoughWithinAMinute() {
    quiet(200);
    for (int i = 0; i < 12; i++) {
      feed(9.0 + 3.0 * NOISE * random.nextGaussian());
    }

    assertThat(roughness.times()).isGreaterThan(1.5);
  }

  /** From 0.5 to 10 (mg/L)/min at 5 s. */
  @ParameterizedTest
  @ValueSource(doubles = {0.04, 0.08, 0.25, 0.8})
  void fall_howeverFast_isNotRough(double perReading) {
    quiet(200);
    double before = roughness.square();
    for (int i = 0; i < 10; i++) {
      feed(9.0 - perReading * i);
    }

    assertThat(roughness.square()).isLessThanOrEqualTo(Math.max(1.3, before));
    assertThat(roughness.times()).isEqualTo(1.0);
  }

  @Test
  void oneGlitch_isNotRough() {
    for (int i = 0; i < 200; i++) {
      feed(i % 2 == 0 ? 9.0 + NOISE : 9.0 - NOISE / 2.0);
    }
    double before = roughness.square();
    feed(12.0);

    assertThat(roughness.square()).isLessThan(before + 1.01);
  }

  private void quiet(int readings) {
    for (int i = 0; i < readings; i++) {
      feed(9.0 + NOISE * random.nextGaussian());
    }
  }

  private void feed(double mgPerL) {
    roughness = roughness.next(mgPerL, NOISE);
  }
}
