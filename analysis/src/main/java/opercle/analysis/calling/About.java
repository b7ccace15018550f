// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import java.util.List;
import java.util.Optional;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.monitor.MonitorTrouble;

/**
 * What a call is about.
 *
 * @param alarms of tanks
 * @param troubles of the monitor
 * @param by who has it, or who asked for it
 */
record About(List<AlarmEvent> alarms, List<MonitorTrouble> troubles, Optional<String> by) {

  static final About NOTHING = new About(List.of(), List.of(), Optional.empty());

  static About alarms(List<AlarmEvent> alarms) {
    return new About(alarms, List.of(), Optional.empty());
  }

  static About troubles(List<MonitorTrouble> troubles) {
    return new About(List.of(), troubles, Optional.empty());
  }

  /** The same, with who has it. */
  About by(Optional<String> person) {
    return new About(alarms, troubles, person);
  }

  boolean isEmpty() {
    return alarms.isEmpty() && troubles.isEmpty();
  }
}
