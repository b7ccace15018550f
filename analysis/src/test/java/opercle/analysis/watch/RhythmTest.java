// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;

class RhythmTest {

  @Test
  void interval_isLearned_andOneGapDoesNotStretchIt() {
    Rhythm r = everySecond(5, 0, 100);
    assertThat(r.intervalSeconds()).isCloseTo(5.0, within(1e-9));

    r = at(r, 100 * 5 + 7200);
    assertThat(r.intervalSeconds()).isLessThan(7.0);
  }

  @Test
  void duplicatesAndLateReadings_areRefused() {
    Rhythm r = everySecond(5, 0, 10);

    assertThat(at(r, 45)).isEqualTo(r);
    assertThat(at(r, 40).taken()).isEqualTo(r.taken());
    assertThat(at(r, 40).last()).isEqualTo(Micros.of(45.0));
  }

  @Test
  void clock_steppedBack_isCarriedOnAfterHalfAMinute() {
    Rhythm r = everySecond(5, 3600, 10);
    long last = r.last();
    int refused = 0;
    for (int i = 0; i < 20; i++) {
      Rhythm next = at(r, 45 + 5 * i);
      refused += next.taken() == r.taken() ? 1 : 0;
      r = next;
    }

    assertThat(refused).isEqualTo(6);
    assertThat(Micros.seconds(r.last() - last)).isCloseTo(5.0 * (20 - refused), within(1e-3));
  }

  @Test
  void clock_steppedBackAndPutRight_isBelievedAgain() {
    Rhythm r = everySecond(5, 3600, 10);
    for (int i = 0; i < 20; i++) {
      r = at(r, 45 + 5 * i);
    }
    r = at(r, 3600 + 45 + 5 * 21);

    assertThat(r.last()).isEqualTo(Micros.of(3600.0 + 45 + 5 * 21));
    assertThat(r.shift()).isZero();
  }

  @Test
  void lateReadings_betweenFreshOnes_areNeverAStep() {
    Rhythm r = everySecond(5, 3600, 10);
    for (int i = 1; i < 100; i++) {
      r = at(r, 10 * i);
      r = at(r, 3645 + 5 * i);
      assertThat(r.shift()).isZero();
    }
  }

  @Test
  void silence_isFiveIntervalsAndAtLeastAMinute() {
    assertThat(everySecond(1, 0, 10).silentAfterSeconds()).isEqualTo(60.0);
    assertThat(everySecond(30, 0, 10).silentAfterSeconds()).isEqualTo(150.0);
    assertThat(everySecond(1, 0, 10).isSilent(Micros.of(9.0 + 59))).isFalse();
    assertThat(everySecond(1, 0, 10).isSilent(Micros.of(9.0 + 60))).isTrue();
    assertThat(Rhythm.NOT_HEARD.isSilent(Micros.of(1e9))).isFalse();
  }

  private static Rhythm everySecond(double interval, double start, int count) {
    Rhythm r = Rhythm.NOT_HEARD;
    for (int i = 0; i < count; i++) {
      r = at(r, start + i * interval);
    }
    return r;
  }

  private static Rhythm at(Rhythm r, double second) {
    return r.next(Micros.of(second), Micros.of(second));
  }
}
