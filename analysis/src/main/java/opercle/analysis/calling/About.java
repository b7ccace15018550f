// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import java.util.List;
import java.util.Optional;
import java.util.Set;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.monitor.MonitorTrouble;

/**
 * What a call is about.
 *
 * @param alarms of tanks
 * @param troubles of the monitor
 * @param by who has it, or who asked for it
 * @param over which of these are over, as in {@link Call#over}
 */
record About(
    List<AlarmEvent> alarms, List<MonitorTrouble> troubles, Optional<String> by, Set<String> over) {

  static final About NOTHING = of(List.of(), List.of());

  static About alarms(List<AlarmEvent> alarms) {
    return of(alarms, List.of());
  }

  static About troubles(List<MonitorTrouble> troubles) {
    return of(List.of(), troubles);
  }

  /** Of tanks and of the monitor, all as they stand. */
  static About of(List<AlarmEvent> alarms, List<MonitorTrouble> troubles) {
    return new About(alarms, troubles, Optional.empty(), Set.of());
  }

  /** What a call is about, to tell it again. */
  static About of(Call call) {
    return new About(call.about(), call.troubles(), call.by(), call.over());
  }

  /** The same, with who has it. */
  About by(Optional<String> person) {
    return new About(alarms, troubles, person, over);
  }

  boolean isEmpty() {
    return alarms.isEmpty() && troubles.isEmpty();
  }
}
