// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.publish.WatchService;
import opercle.analysis.watch.TankState;

/** Alarms as they stand, in the form in which calling hears of them. Pure. */
final class Standing {

  private Standing() {}

  /** Those of all tanks, each with the minutes in hand as of now. */
  static List<AlarmEvent> of(List<TankState> states) {
    List<AlarmEvent> standing = new ArrayList<>();
    for (TankState tank : states) {
      for (Alarm alarm : tank.alarms()) {
        standing.add(of(alarm, tank.timeInHand().likelyMinutes()));
      }
    }
    return standing;
  }

  private static AlarmEvent of(Alarm alarm, OptionalDouble minutes) {
    AlarmEvent e = WatchService.standingSince(alarm);
    return new AlarmEvent(
        e.time(),
        e.tank(),
        e.cause(),
        e.event(),
        e.priority(),
        e.state(),
        minutes,
        e.oxygenMgPerL(),
        e.message(),
        e.since(),
        e.annunciated(),
        alarm.by().or(alarm::acknowledgedBy),
        e.until(),
        e.root(),
        e.tanks());
  }
}
