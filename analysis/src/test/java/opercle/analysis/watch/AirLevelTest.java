// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * A probe lifted out of the water, and what looks like it. The series are made here: a level that
 * wanders as an Ornstein–Uhlenbeck process of half an hour behind a lag, with white noise. In air
 * such a probe shows saturation, with the same noise.
 */
class AirLevelTest {

  private static final double NOISE = 0.003;
  private static final double WANDER_SECONDS = 1800.0;
  private static final double LAG_SECONDS = 13.0;

  private final Random random = new Random(11);
  private AirLevel air = AirLevel.NOT_HEARD;
  private double wander;
  private double shown = Double.NaN;

  @ParameterizedTest(name = "from {0} of saturation, every {1} s")
  @CsvSource({"0.85, 5", "0.85, 30", "0.75, 5", "1.4, 1", "1.4, 5"})
  void probeLiftedOut_isInAirWithinHalfAnHour_andStaysSo(double level, double interval) {
    water(level, 0.01, interval, 3.0 * 3600.0);
    assertThat(air.stay().isInAir()).isFalse();

    inAir(interval, 1800.0);
    assertThat(air.stay().isInAir()).isTrue();
    for (int hour = 0; hour < 5; hour++) {
      inAir(interval, 3600.0);
      assertThat(air.stay().isInAir()).as("after %d hours", hour + 1).isTrue();
    }
  }

  @Test
  void probeBackInTheWater_isSeenToBe() {
    water(0.85, 0.01, 5.0, 7200.0);
    inAir(5.0, 3600.0);
    water(0.80, 0.01, 5.0, 300.0);

    assertThat(air.stay().isInAir()).isFalse();
    assertThat(air.seeingSeconds()).isLessThan(300.0);
  }

  @Test
  void keeperWhoHasSeenToIt_isBelieved() {
    water(0.85, 0.01, 5.0, 7200.0);
    inAir(5.0, 3600.0);
    air = air.startAgain();
    inAir(5.0, 7200.0);

    assertThat(air.stay().isInAir()).isFalse();
  }

  @ParameterizedTest(name = "a level of {0} of saturation")
  @ValueSource(doubles = {0.97, 1.0, 1.03})
  void healthyTankNearSaturation_isNoProbeInAir(double level) {
    for (int i = 0; i < 12 * 720; i++) {
      water(level, 0.001, 5.0, 5.0);
      if (i % 200 == 0) {
        take(5.0, level + 0.3); // a spike
      }
      assertThat(air.stay().isInAir()).isFalse();
    }
  }

  @Test
  void bubbleThatLeavesAProbe_isNoProbeInAir() {
    water(0.98, 0.001, 5.0, 4.0 * 3600.0);
    water(1.5, 0.001, 5.0, 2400.0);
    water(0.98, 0.001, 5.0, 7200.0);

    assertThat(air.stay().isInAir()).isFalse();
  }

  /** It cannot always be told apart: water is still for a third of an hour now and then. */
  @Test
  void stepToSaturation_thatGoesOnWanderingAsWaterDoes_isSeldomTakenForAir() {
    int taken = 0;
    for (int tank = 0; tank < 40; tank++) {
      air = AirLevel.NOT_HEARD;
      water(0.85, 0.015, 5.0, 7200.0);
      water(0.99, 0.015, 5.0, 2400.0);
      taken += air.stay().isInAir() ? 1 : 0;
    }
    assertThat(taken).isLessThanOrEqualTo(6);
  }

  @Test
  void fallAcrossSaturation_isNoProbeInAir() {
    water(1.4, 0.005, 5.0, 7200.0);
    for (double level = 1.4; level > 0.4; level -= 0.03 * 5.0 / 60.0) {
      water(level, 0.005, 5.0, 5.0);
      assertThat(air.stay().isInAir()).isFalse();
    }
  }

  private void water(double level, double sd, double interval, double seconds) {
    double kept = Math.exp(-interval / WANDER_SECONDS);
    for (double t = 0.0; t < seconds; t += interval) {
      wander = kept * wander + sd * Math.sqrt(1.0 - kept * kept) * random.nextGaussian();
      take(interval, level + wander);
    }
  }

  private void inAir(double interval, double seconds) {
    for (double t = 0.0; t < seconds; t += interval) {
      take(interval, 1.0);
    }
  }

  private void take(double interval, double level) {
    shown =
        Double.isNaN(shown) ? level : shown - Math.expm1(-interval / LAG_SECONDS) * (level - shown);
    air = air.next(interval, shown + NOISE * random.nextGaussian(), NOISE, false);
  }
}
