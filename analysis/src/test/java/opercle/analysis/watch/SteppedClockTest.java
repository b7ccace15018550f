// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;

import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class SteppedClockTest extends WatchedHolding {

  @Test
  void receiverClock_steppingBack_raisesNothing_andSilenceIsStillFound() {
    for (int s = 0; s < 600; s += 5) {
      oxygen(s, 9.0);
      tick(s);
    }
    for (int s = -3600; s < -3540; s += 5) {
      tick(s);
    }
    assertThat(events).isEmpty();
    tick(-3540);

    assertThat(only(AlarmEvent.Kind.RAISED).cause()).isEqualTo(AlarmCause.PROBE_SILENT);
  }

  /**
   * The receiver's clock is put forward or back by an hour: no alarm of that, and a probe that
   * falls silent just then is found all the same; whether readings are dated by the receiver or by
   * probes that keep the right time.
   */
  @ParameterizedTest(name = "by {0} s, readings dated by the receiver: {1}")
  @CsvSource({"3600, true", "3600, false", "-3600, true", "-3600, false"})
  void receiverClock_stepping_givesNoFalseAlarmAndLosesNone(int step, boolean byReceiver) {
    watch.startListening();
    int gasOff = 4000;
    int silentFrom = 8000;
    for (int s = 0; s < 8400; s++) {
      int receiver = s < 2000 ? s : s + step;
      int dated = byReceiver ? receiver : s;
      tick(receiver);
      if (s < silentFrom) {
        temperature(dated, 12.0);
        gas(dated, s < gasOff ? 45.0 : 0.0);
        oxygen(dated, 9.0 + s % 7 / 100.0);
      }
      if (s == gasOff - 1) {
        assertThat(events).isEmpty();
      }
      if (s == gasOff + 60) {
        assertThat(events).extracting(AlarmEvent::cause).contains(AlarmCause.GAS_LINE_STOPPED);
      }
      if (s == silentFrom + 50) {
        assertThat(events).extracting(AlarmEvent::cause).doesNotContain(AlarmCause.PROBE_SILENT);
      }
    }

    assertThat(events)
        .filteredOn(e -> e.cause() == AlarmCause.PROBE_SILENT)
        .first()
        .extracting(AlarmEvent::event)
        .isEqualTo(AlarmEvent.Kind.RAISED);
    assertThat(events)
        .filteredOn(e -> e.cause() == AlarmCause.GAS_LINE_STOPPED)
        .as("told once, and not over and over by two clocks in turn")
        .hasSize(1);
  }

  @Test
  void probeSilentAcrossAStepOfTheClock_isFoundInTheSameTime() {
    for (int s = 0; s < 600; s += 5) {
      oxygen(s, 9.0);
      tick(s);
    }
    for (int s = 600; s < 630; s++) {
      tick(s);
    }
    assertThat(events).isEmpty();
    int step = 3600;
    for (int s = 630; s < 653; s++) {
      tick(s + step);
      assertThat(events).as("second %d", s).isEmpty();
    }
    for (int s = 653; s < 660; s++) {
      tick(s + step);
    }

    assertThat(only(AlarmEvent.Kind.RAISED).cause()).isEqualTo(AlarmCause.PROBE_SILENT);
  }

  @Test
  void warmWater_acrossAStepOfTheClock_isToldInItsOwnTime() {
    for (int s = 0; s < 300; s += 5) {
      tick(s);
      temperature(s, 31.0);
    }
    for (int s = 3900; s < 4100; s += 5) {
      tick(s);
      temperature(s, 31.0);
    }
    assertThat(events).as("warm for eight minutes, not for an hour").isEmpty();
    for (int s = 4100; s < 4520; s += 5) {
      tick(s);
      temperature(s, 31.0);
    }

    assertThat(only(AlarmEvent.Kind.RAISED).cause()).isEqualTo(AlarmCause.WATER_WARM);
  }

  @Test
  void probeClock_steppingBackAnHour_leavesTheTankWatched() {
    steady(0, 3600);
    for (int s = 0; s < 3600; s += 5) {
      gas(s, s < 1800 ? 45.0 : 0.0);
      oxygen(s, 9.0);
      temperature(s, 12.0);
      tick(3600 + s);
    }

    assertThat(only(AlarmEvent.Kind.RAISED).cause()).isEqualTo(AlarmCause.GAS_LINE_STOPPED);
  }
}
