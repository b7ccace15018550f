// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

class TemperatureProbeTest {

  private final TemperatureProbe probe = new TemperatureProbe("1");
  private double seconds;

  private boolean take(double celsius, double forSeconds) {
    boolean believed = false;
    for (double t = 0.0; t < forSeconds; t += 10.0) {
      seconds += 10.0;
      probe.value = celsius;
      believed |= probe.accept(Micros.of(seconds));
    }
    return believed;
  }

  @Test
  void unplugged_keepsTheWatersTemperature_untilItIsBack() {
    take(13.0, 3600.0);
    take(0.0, 6.0 * 3600.0);
    assertThat(probe.waterC()).isEqualTo(13.0);
    assertThat(probe.isDoubted()).isTrue();

    take(12.6, 10.0);
    assertThat(probe.waterC()).isEqualTo(12.6);
    assertThat(probe.isDoubted()).isFalse();
  }

  @Test
  void aFewDegrees_thatStay_areBelievedAfterHalfAnHour() {
    take(13.0, 3600.0);
    assertThat(take(10.0, 1700.0)).isFalse();
    assertThat(probe.waterC()).isEqualTo(13.0);

    assertThat(take(10.0, 200.0)).isTrue();
    assertThat(probe.waterC()).isEqualTo(10.0);
    assertThat(probe.isDoubted()).isFalse();
  }

  /** A tank that was filled anew without a word; one that is unplugged shows nought or 85. */
  @Test
  void manyDegrees_thatStay_areBelievedAfterHours() {
    take(21.0, 3600.0);
    assertThat(take(9.0, 10_700.0)).isFalse();
    assertThat(probe.isDoubted()).isTrue();
    assertThat(take(9.0, 200.0)).isTrue();
    assertThat(probe.waterC()).isEqualTo(9.0);

    take(9.0, 3600.0);
    assertThat(take(85.0, 100_000.0)).isFalse();
    assertThat(probe.waterC()).isEqualTo(9.0);
  }

  @Test
  void oneGlitch_isNoDoubt_andMovesNothing() {
    take(13.0, 3600.0);
    take(0.0, 10.0);
    assertThat(probe.isDoubted()).isFalse();
    assertThat(probe.waterC()).isEqualTo(13.0);
  }

  /** Real streams: seven degrees across a gap of hours. */
  @Test
  void afterALongGap_theWaterMayHaveAnyTemperature() {
    take(14.0, 3600.0);
    seconds += 4.0 * 3600.0;
    take(7.0, 10.0);
    assertThat(probe.waterC()).isEqualTo(7.0);
  }

  /** A sensor that starts with 85 °C, or whatever its first reading is. */
  @Test
  void whatWasSaidOnce_isNoTemperatureToHold() {
    take(40.0, 10.0);
    take(13.0, 30.0);
    assertThat(probe.waterC()).isEqualTo(13.0);
  }

  @Test
  void waterThatWarmsInTheSun_isFollowed() {
    take(13.0, 3600.0);
    for (double c = 13.0; c < 19.0; c += 0.4) {
      take(c, 60.0);
      assertThat(probe.waterC()).isEqualTo(c);
    }
  }

  @Test
  void keeperWhoChangedTheWater_isBelieved() {
    take(13.0, 3600.0);
    take(6.0, 600.0);
    probe.startAgain();
    assertThat(probe.waterC()).isEqualTo(6.0);
  }
}
