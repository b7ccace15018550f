// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmEvent.Kind;
import opercle.analysis.alarm.AlarmId;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;

/** Alarm events of the made-up farm Sallowmere. */
final class Alarms {

  static final String FARM = "Sallowmere";
  static final Instant T0 = Instant.parse("2026-03-14T02:11:07.123456Z");

  private Alarms() {}

  static AlarmEvent raised(String tank, long second) {
    return event(tank, Kind.RAISED, AlarmState.UNACKNOWLEDGED, second, second);
  }

  static AlarmEvent event(String tank, Kind kind, AlarmState state, long second, long since) {
    return new AlarmEvent(
        T0.plusSeconds(second),
        tank,
        AlarmCause.OXYGEN_LOW,
        kind,
        Priority.HIGH,
        state,
        OptionalDouble.of(31.46),
        OptionalDouble.empty(),
        tank + ": oxygen is low; \"look\" at the fish.",
        T0.plusSeconds(since),
        state.callsSomebody(),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        List.of());
  }

  /** With everything that an event can have. */
  static AlarmEvent full() {
    return new AlarmEvent(
        T0,
        "h1",
        AlarmCause.GAS_NOT_REACHING_WATER,
        Kind.SUPPRESSED,
        Priority.MEDIUM,
        AlarmState.SUPPRESSED,
        OptionalDouble.of(7.25),
        OptionalDouble.of(5.5),
        "Holding 1: …",
        T0.minusSeconds(60),
        false,
        Optional.of("Ines"),
        Optional.of(T0.plusSeconds(1800)),
        Optional.of(new AlarmId("h2", AlarmCause.GAS_LINE_STOPPED)),
        List.of("h2", "h_3"));
  }
}
