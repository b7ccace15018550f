// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Random;
import java.util.function.DoubleUnaryOperator;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class GasMeterTest {

  private static final double SET = 2.5;

  @ParameterizedTest
  @CsvSource({"1, 10", "5, 10", "30, 30", "60, 60"})
  void line_stopped_isFoundAfterTwoOfThreeSamplesOrTenSeconds(double interval, double delay) {
    double stop = 3600.0;
    assertThat(firstStopped(interval, 7200.0, t -> t < stop ? SET : 0.0) - stop)
        .isCloseTo(delay, within(1e-6));
  }

  @ParameterizedTest
  @ValueSource(doubles = {1, 5, 30, 60})
  void single_zero_isNeverAStop(double interval) {
    // A glitch every twenty samples: dropped packets, pulse counters that start again.
    assertThat(firstStopped(interval, 20_000.0, t -> (long) (t / interval) % 20 == 7 ? 0.0 : SET))
        .isNaN();
  }

  /** Seven seconds without a pulse fall on two samples, and the third shows that it is over. */
  @Test
  void glitch_thatIsOver_isNotAStop_thoughTwoOfThreeSamplesWereLow() {
    assertThat(firstStopped(5.0, 7200.0, t -> t >= 3600.0 && t < 3607.0 ? 0.0 : SET)).isNaN();
  }

  @Test
  void gas_turnedDownOnPurpose_isNotAStop() {
    assertThat(firstStopped(1.0, 7200.0, t -> t < 3600.0 ? SET : 0.6 * SET)).isNaN();
  }

  @Test
  void gas_turnedDownOnPurpose_becomesNormal_andItsLossIsStillFound() {
    double stop = 7200.0;
    GasMeter m = run(5.0, stop, t -> t < 3600.0 ? SET : 0.6 * SET);

    assertThat(m.normalLPerMin()).isCloseTo(0.6 * SET, within(0.02 * SET));
    assertThat(firstStopped(5.0, 9000.0, t -> t < 3600.0 ? SET : t < stop ? 0.6 * SET : 0.05))
        .isEqualTo(stop + 10.0);
  }

  @Test
  void cylinder_runningOutSlowly_doesNotTeachTheMeterThatNothingIsNormal() {
    // Flow halves every ten minutes: as fast as the meter learns.
    double found = firstStopped(5.0, 7200.0, t -> SET * Math.pow(0.5, t / 600.0));

    assertThat(found).isBetween(0.0, 3.5 * 600.0);
  }

  @Test
  void line_alreadyStoppedAtTheStart_isFound() {
    assertThat(firstStopped(1.0, 60.0, t -> 0.0)).isEqualTo(10.0);
  }

  @Test
  void noisyMeter_withGasFlowing_isNeverAStop() {
    Random random = new Random(1);
    assertThat(firstStopped(1.0, 86_400.0, t -> SET * (1.0 + 0.1 * random.nextGaussian()))).isNaN();
  }

  @ParameterizedTest
  @CsvSource({"1, 30, 30", "5, 120, 120", "5, 300, 1500", "5, 600, 300", "30, 900, 900"})
  void gas_thatATimerShutsOff_doesNotTeachTheMeterThatNothingIsNormal(
      double interval, double off, double on) {
    GasMeter m = run(interval, 43_200.0, t -> t % (on + off) < on ? SET : 0.0);

    assertThat(m.normalLPerMin()).isCloseTo(SET, within(1e-9));
  }

  /** What leaks through a valve that does not close well is no flow, and no new stop either. */
  @Test
  void trickle_doesNotMakeAStopBeginAnew() {
    GasMeter m = run(5.0, 3700.0, t -> t < 3600.0 ? SET : t < 3650.0 ? 0.0 : 0.25 * SET);

    assertThat(m.hasStopped()).isTrue();
    assertThat(m.lowSince()).isEqualTo(Micros.of(3600.0));
  }

  @Test
  void thirdStopWithinAnHour_isKnown_andStopsFurtherApartAreNot() {
    assertThat(stoppedAt(3000.0, 1000.0, 30.0)).isTrue();
    assertThat(stoppedAt(2000.0, 1000.0, 30.0)).isFalse();
    assertThat(stoppedAt(6000.0, 2000.0, 30.0)).isFalse();
  }

  private static boolean stoppedAt(double last, double every, double off) {
    GasMeter m = run(5.0, last + 20.0, t -> t >= every && t % every < off ? 0.0 : SET);
    assertThat(m.hasStopped()).isTrue();
    return m.past().makeThird(m.lowSince());
  }

  @Test
  void stop_endsWhenGasFlowsAgain() {
    GasMeter m = run(5.0, 3700.0, t -> t >= 3600.0 && t < 3660.0 ? 0.0 : SET);

    assertThat(m.hasStopped()).isFalse();
    assertThat(run(5.0, 3660.0, t -> t >= 3600.0 ? 0.0 : SET).hasStopped()).isTrue();
  }

  @Test
  void meter_withoutSetting_thatNeverFlowed_isNotStopped() {
    GasMeter m = GasMeter.NOT_HEARD;
    for (int i = 0; i < 100; i++) {
      m = m.next(Micros.of((double) i), 0.0, 0.0);
    }
    assertThat(m.hasStopped()).isFalse();
  }

  private static GasMeter run(double interval, double until, DoubleUnaryOperator flow) {
    GasMeter m = GasMeter.NOT_HEARD;
    for (double t = 0.0; t < until; t += interval) {
      m = m.next(Micros.of(t), flow.applyAsDouble(t), SET);
    }
    return m;
  }

  /** Seconds until the stop is found; NaN if it never is. */
  private static double firstStopped(double interval, double until, DoubleUnaryOperator flow) {
    GasMeter m = GasMeter.NOT_HEARD;
    for (double t = 0.0; t < until; t += interval) {
      m = m.next(Micros.of(t), flow.applyAsDouble(t), SET);
      if (m.hasStopped()) {
        return t;
      }
    }
    return Double.NaN;
  }
}
