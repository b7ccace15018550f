// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class RepeatsTest {

  private final Random random = new Random(7);

  @ParameterizedTest(name = "noise of {0} of the last digit")
  @ValueSource(doubles = {1.0, 2.0, 8.0, 100.0})
  void fineMeter_thatSaysOneValueForFiveMinutes_isStuck(double noise) {
    Repeats r = ordinary(Repeats.NONE, 2.5, noise * 0.01, 0.01, 720);
    assertThat(r.isStuck()).isFalse();

    assertThat(same(r, 60).isStuck()).isTrue();
  }

  @Test
  void fineMeter_thatSaysOneValueForHours_staysStuck() {
    Repeats r = same(ordinary(Repeats.NONE, 2.5, 0.05, 0.01, 720), 8640);

    assertThat(r.isStuck()).isTrue();
  }

  @Test
  void stuckMeter_thatMovesAgain_isNotStuck() {
    Repeats r = same(ordinary(Repeats.NONE, 2.5, 0.05, 0.01, 720), 600);

    assertThat(r.isStuck()).isTrue();
    assertThat(r.next(5.0, r.previous() + 0.03).isStuck()).isFalse();
  }

  /**
   * A flow between two digits flickers; the same flow in the middle of one stands still for hours.
   */
  @Test
  void coarseMeter_whoseFlowMovesOffTheEdgeOfADigit_isNotStuck() {
    Repeats r = ordinary(Repeats.NONE, 45.5, 0.2, 1.0, 2000);

    assertThat(ordinary(r, 45.0, 0.05, 1.0, 2000).isStuck()).isFalse();
  }

  @Test
  void meter_thatAlwaysSaidTheSame_isNotStuck() {
    assertThat(same(Repeats.NONE.next(0.0, 45.0), 10_000).isStuck()).isFalse();
  }

  /** A board that hangs, and whose last digit goes to and fro. */
  @ParameterizedTest(name = "noise of {0} of the last digit before")
  @ValueSource(doubles = {1.0, 2.0, 5.0})
  void fineProbe_ofWhichTheLastDigitAloneMoves_isToggling(double noise) {
    Repeats r = ordinary(Repeats.NONE, 9.0, noise * 0.01, 0.01, 2000);
    assertThat(r.isToggling()).isFalse();

    r = toggling(r, 120);
    assertThat(r.isToggling()).isTrue();
    assertThat(r.hasMoved()).isFalse();
    assertThat(toggling(r, 5000).isToggling()).as("hours later").isTrue();

    r = r.next(5.0, r.previous() + 0.03);
    assertThat(r.isToggling()).isFalse();
    assertThat(r.hasMoved()).isTrue();
  }

  /** Honest: steady water, read to a tenth, at the edge of a digit for a whole night. */
  @ParameterizedTest(name = "noise of {0} mg/L")
  @ValueSource(doubles = {0.01, 0.03, 0.05, 0.1})
  void coarseProbe_inSteadyWater_isNotToggling(double noise) {
    Repeats r = Repeats.NONE;
    for (int i = 0; i < 8640; i++) {
      double water = 9.0 + 0.05 * Math.sin(i / 2000.0);
      r = r.next(5.0, 0.1 * Math.rint((water + noise * random.nextGaussian()) / 0.1));
      assertThat(r.isToggling()).isFalse();
    }
  }

  private Repeats toggling(Repeats from, int readings) {
    Repeats r = from;
    for (int i = 0; i < readings; i++) {
      r = r.next(5.0, 0.01 * (random.nextBoolean() ? 900.0 : 901.0));
    }
    return r;
  }

  private Repeats ordinary(Repeats from, double value, double noise, double digit, int readings) {
    Repeats r = from;
    for (int i = 0; i < readings; i++) {
      r = r.next(5.0, digit * Math.rint((value + noise * random.nextGaussian()) / digit));
    }
    return r;
  }

  private static Repeats same(Repeats from, int readings) {
    Repeats r = from;
    for (int i = 0; i < readings; i++) {
      r = r.next(5.0, from.previous());
    }
    return r;
  }
}
