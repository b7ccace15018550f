// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Random;
import org.junit.jupiter.api.Test;

class OnsetsTest {

  private static final double DT = 5.0;
  private static final double NOISE = 0.05;
  private static final double CLIP = 6.0;

  /**
   * What the limit of the detector rests on: in quiet water every onset's score is N(0, 1), or
   * narrower for long falls, since the slow drift that is allowed for is absent here.
   */
  @Test
  void scores_inQuietWater_areStandardNormal() {
    double[] sum = new double[Onsets.AGES.length];
    double[] squares = new double[Onsets.AGES.length];
    int[] beyond = new int[Onsets.AGES.length];
    int count = 0;
    Random random = new Random(1);
    double wanderPerSecond = 1.4e-6;
    for (int tank = 0; tank < 60; tank++) {
      QuietWater water = new QuietWater();
      Onsets onsets = new Onsets();
      double level = 9.0;
      water.start(level, NOISE);
      onsets.start();
      for (int i = 1; i <= 3000; i++) {
        level += Math.sqrt(wanderPerSecond * DT) * random.nextGaussian();
        water.accept(DT, level + NOISE * random.nextGaussian(), NOISE, wanderPerSecond);
        onsets.accept(DT, water, CLIP);
        if (i % 150 == 0) {
          count++;
          for (int k = 0; k < Onsets.AGES.length; k++) {
            double z = onsets.scoreAtAge(k);
            sum[k] += z;
            squares[k] += z * z;
            beyond[k] += Math.abs(z) > 1.96 ? 1 : 0;
          }
        }
      }
    }
    for (int k = 0; k < Onsets.AGES.length; k++) {
      assertThat(sum[k] / count).as("mean at age %d", k).isBetween(-0.12, 0.12);
      assertThat(squares[k] / count).as("variance at age %d", k).isBetween(0.6, 1.15);
      assertThat(beyond[k] / (double) count).as("beyond 1.96 at %d", k).isLessThan(0.07);
    }
  }

  @Test
  void rate_ofAFallWithoutNoise_isExact_thoughTheFilterFollows() {
    QuietWater water = new QuietWater();
    Onsets onsets = new Onsets();
    water.start(9.0, NOISE);
    onsets.start();
    double rate = 0.05 / 60.0;
    for (int i = 1; i <= 200; i++) {
      double t = Math.max(0.0, (i - 100) * DT);
      double lag = Onsets.LAG_SECONDS;
      double fallen = rate * (t - lag * -Math.expm1(-t / lag));
      water.accept(DT, 9.0 - fallen, NOISE, 1.4e-6);
      onsets.accept(DT, water, CLIP);
    }

    assertThat(onsets.rate()).isBetween(0.97 * rate, 1.03 * rate);
    assertThat(onsets.age()).isBetween(0.9 * 500.0, 1.1 * 500.0);
  }

  @Test
  void moments_keepAConstantNumber_howeverLongItGoesOn() {
    QuietWater water = new QuietWater();
    Onsets onsets = new Onsets();
    water.start(9.0, NOISE);
    onsets.start();
    for (int i = 0; i < 10_000; i++) {
      water.accept(1.0, 9.0, NOISE, 1e-6);
      onsets.accept(1.0, water, CLIP);
    }

    assertThat(onsets.snapshot()).hasSizeLessThanOrEqualTo(36);
    assertThat(onsets.snapshot().get(0).age()).isBetween(1200.0, 3600.0);
  }
}
