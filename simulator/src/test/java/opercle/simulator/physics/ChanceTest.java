// SPDX-License-Identifier: Apache-2.0
package opercle.simulator.physics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;

class ChanceTest {

  /** First outputs of SplitMix64 from seed 1234567, as published with its reference code. */
  @Test
  void nextLong_isSplitMix64() {
    Chance chance = new Chance(1234567L);

    assertThat(Long.toUnsignedString(chance.nextLong())).isEqualTo("6457827717110365317");
    assertThat(Long.toUnsignedString(chance.nextLong())).isEqualTo("3203168211198807973");
    assertThat(Long.toUnsignedString(chance.nextLong())).isEqualTo("9817491932198370423");
  }

  @Test
  void normal_hasMomentsAndTailsOfTheNormal() {
    Chance chance = new Chance(9L);
    int n = 200_000;
    double sum = 0.0;
    double squares = 0.0;
    int beyondTwo = 0;
    for (int i = 0; i < n; i++) {
      double z = chance.normal();
      sum += z;
      squares += z * z;
      beyondTwo += Math.abs(z) > 2.0 ? 1 : 0;
    }

    // four standard errors each
    assertThat(sum / n).isCloseTo(0.0, within(4.0 / Math.sqrt(n)));
    assertThat(squares / n).isCloseTo(1.0, within(4.0 * Math.sqrt(2.0 / n)));
    assertThat(beyondTwo / (double) n).isCloseTo(0.0455, within(0.002));
  }

  @Test
  void parts_ofOneSeed_areUnlikeAndRepeat() {
    assertThat(Chance.of(1L, "h1/water").nextLong())
        .isEqualTo(Chance.of(1L, "h1/water").nextLong())
        .isNotEqualTo(Chance.of(1L, "h2/water").nextLong())
        .isNotEqualTo(Chance.of(2L, "h1/water").nextLong());
  }

  @Test
  void copy_goesOnWithTheSameNumbersAndLeavesTheOriginalAlone() {
    Chance chance = new Chance(3L);
    chance.normal(); // leaves a spare behind, which the copy must have too
    Chance copy = chance.copy();
    double first = copy.normal();
    copy.normal();

    assertThat(chance.normal()).isEqualTo(first);
  }

  @Test
  void wander_hasItsSpreadAndForgetsInItsTime() {
    Wander wander = new Wander(0.15, 100.0, new Chance(4L));
    int n = 400_000;
    double squares = 0.0;
    double lagged = 0.0;
    double[] last = new double[100];
    for (int i = 0; i < n; i++) {
      double x = wander.step(1.0);
      squares += x * x;
      lagged += i >= 100 ? x * last[i % 100] : 0.0;
      last[i % 100] = x;
    }

    assertThat(Math.sqrt(squares / n)).isCloseTo(0.15, within(0.008));
    assertThat(lagged / squares).isCloseTo(Math.exp(-1.0), within(0.08));
  }
}
