// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.figures;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmEvent.Kind;
import opercle.analysis.alarm.AlarmId;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.AlarmVerdict;
import opercle.analysis.alarm.Priority;

/** What happened to the alarms of Sallowmere, told event by event. */
final class Story {

  private final List<AlarmEvent> events = new ArrayList<>();
  private final List<AlarmVerdict> verdicts = new ArrayList<>();

  Story raised(String time, String tank, AlarmCause cause, Priority priority) {
    return event(time, tank, cause, Kind.RAISED, priority, AlarmState.UNACKNOWLEDGED, time);
  }

  Story event(
      String time,
      String tank,
      AlarmCause cause,
      Kind kind,
      Priority priority,
      AlarmState state,
      String since) {
    events.add(
        new AlarmEvent(
            Instant.parse(time),
            tank,
            cause,
            kind,
            priority,
            state,
            OptionalDouble.empty(),
            OptionalDouble.empty(),
            tank,
            Instant.parse(since),
            state.callsSomebody(),
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            List.of()));
    return this;
  }

  Story acknowledged(String time, String tank, AlarmCause cause, Priority priority, String since) {
    return event(time, tank, cause, Kind.ACKNOWLEDGED, priority, AlarmState.ACKNOWLEDGED, since);
  }

  Story over(String time, String tank, AlarmCause cause, Priority priority, String since) {
    return event(time, tank, cause, Kind.CLEARED, priority, AlarmState.NORMAL, since);
  }

  Story said(String tank, AlarmCause cause, String since, boolean wasTrue) {
    verdicts.add(
        new AlarmVerdict(
            new AlarmId(tank, cause),
            Instant.parse(since),
            wasTrue,
            "Ines",
            Instant.parse(since).plusSeconds(3600)));
    return this;
  }

  List<Occurrence> occurrences() {
    List<AlarmEvent> sorted = new ArrayList<>(events);
    sorted.sort(Comparator.comparing(AlarmEvent::time));
    return Occurrence.of(sorted, verdicts);
  }
}
