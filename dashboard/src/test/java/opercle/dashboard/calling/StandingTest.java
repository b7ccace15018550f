// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.Band;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import opercle.analysis.watch.TankState;
import opercle.analysis.watch.TimeInHand;
import org.junit.jupiter.api.Test;

class StandingTest {

  /** The tank whose alarm it is has two hours, another one that it speaks for has eight minutes. */
  @Test
  void alarmOfSeveralTanks_isCalledByTheLeastTimeOfAll_notByItsOwnTanks() {
    Alarm root =
        new Alarm(
            "h1",
            AlarmCause.GAS_LINE_STOPPED,
            Priority.HIGH,
            AlarmState.UNACKNOWLEDGED,
            Made.NIGHT,
            Optional.empty(),
            "Holding 1: gas lost in 2 tanks on shed blower.",
            true,
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            List.of("h2", "h1"),
            OptionalDouble.of(8.0));
    TankState state =
        new TankState(
            "h1",
            Made.NIGHT,
            Optional.of(Made.NIGHT),
            OptionalDouble.of(8.6),
            OptionalDouble.empty(),
            OptionalDouble.empty(),
            OptionalDouble.empty(),
            OptionalDouble.empty(),
            OptionalDouble.empty(),
            new TimeInHand.Minutes(Band.exactly(120.0)),
            new TimeInHand.Minutes(Band.exactly(120.0)),
            List.of(root));

    AlarmEvent called = Standing.of(List.of(state)).get(0);

    assertThat(called.timeInHandMinutes()).hasValue(8.0);
    assertThat(called.oxygenMgPerL()).hasValue(8.6);
    assertThat(called.message()).isEqualTo(root.message());
    assertThat(called.tanks()).containsExactly("h2", "h1");
  }
}
