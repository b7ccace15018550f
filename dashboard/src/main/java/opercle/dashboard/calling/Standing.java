// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.util.List;
import java.util.OptionalDouble;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.publish.WatchService;
import opercle.analysis.watch.TankState;

/** Alarms as they stand, in the form in which calling hears of them. Pure. */
final class Standing {

  private Standing() {}

  /** Those of all tanks, each with the minutes, the oxygen and the words that it has by now. */
  static List<AlarmEvent> of(List<TankState> states) {
    return states.stream()
        .flatMap(tank -> tank.alarms().stream().map(alarm -> of(alarm, tank.oxygenMgPerL())))
        .toList();
  }

  private static AlarmEvent of(Alarm alarm, OptionalDouble oxygenMgPerL) {
    AlarmEvent e = WatchService.standingSince(alarm);
    return new AlarmEvent(
        e.time(),
        e.tank(),
        e.cause(),
        e.event(),
        e.priority(),
        e.state(),
        e.timeInHandMinutes(),
        oxygenMgPerL,
        e.message(),
        e.since(),
        e.annunciated(),
        alarm.by().or(alarm::acknowledgedBy),
        e.until(),
        e.root(),
        e.tanks());
  }
}
