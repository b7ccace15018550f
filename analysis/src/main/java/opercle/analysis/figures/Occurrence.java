// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.figures;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collections;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmId;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.AlarmVerdict;
import opercle.analysis.alarm.Priority;

/**
 * One alarm from raised to its end.
 *
 * @param alarm which
 * @param since when it was raised
 * @param end when it was over, or raised anew without having been dealt with; empty if it stands
 * @param events what happened to it, in order; at least one
 * @param verdict what a person said of it last, where somebody has
 */
public record Occurrence(
    AlarmId alarm,
    Instant since,
    Optional<Instant> end,
    List<AlarmEvent> events,
    Optional<AlarmVerdict> verdict) {

  public Occurrence {
    events = List.copyOf(events);
  }

  private record Key(AlarmId alarm, Instant since) {}

  /**
   * The occurrences that events tell of, in the order of their first events.
   *
   * @param events in order of time
   * @param verdicts in the order in which they were given; those on others are left out
   */
  public static List<Occurrence> of(List<AlarmEvent> events, List<AlarmVerdict> verdicts) {
    Map<Key, List<AlarmEvent>> byKey = new LinkedHashMap<>();
    for (AlarmEvent event : events) {
      byKey
          .computeIfAbsent(new Key(event.id(), event.since()), key -> new ArrayList<>())
          .add(event);
    }
    Map<Key, AlarmVerdict> said = new LinkedHashMap<>();
    for (AlarmVerdict verdict : verdicts) {
      said.put(new Key(verdict.alarm(), verdict.since()), verdict);
    }
    Map<AlarmId, Instant> raisedAnew = new HashMap<>();
    List<Occurrence> occurrences = new ArrayList<>();
    List<Key> keys = new ArrayList<>(byKey.keySet());
    Collections.reverse(keys);
    for (Key key : keys) {
      List<AlarmEvent> told = byKey.getOrDefault(key, List.of());
      AlarmEvent last = told.get(told.size() - 1);
      Optional<Instant> end =
          last.state() == AlarmState.NORMAL
              ? Optional.of(last.time())
              : Optional.ofNullable(raisedAnew.get(key.alarm()));
      occurrences.add(
          new Occurrence(key.alarm(), key.since(), end, told, Optional.ofNullable(said.get(key))));
      raisedAnew.put(key.alarm(), key.since());
    }
    Collections.reverse(occurrences);
    return occurrences;
  }

  /** The events that called for a person: raised, more urgent, or back again. */
  public List<AlarmEvent> calls() {
    return events.stream().filter(Occurrence::isCall).toList();
  }

  /** Whether an event is a call for a person. That other words are told is none. */
  public static boolean isCall(AlarmEvent event) {
    return event.annunciated()
        && switch (event.event()) {
          case RAISED, ESCALATED, RE_ALARMED, UNSHELVED, UNSUPPRESSED, RETURNED_TO_SERVICE -> true;
          default -> false;
        };
  }

  /** Whether it stands longer than a while at some instant up to {@code now}. */
  boolean standsLongerThan(Duration aWhile, Instant now) {
    return Duration.between(since, end.orElse(now)).compareTo(aWhile) > 0;
  }

  /** How urgent it ever was. */
  public Priority worst() {
    return events.stream().map(AlarmEvent::priority).min(Priority::compareTo).orElseThrow();
  }

  /**
   * From its first call until a named person had it; empty where nobody did, or nobody was called.
   */
  public Optional<Duration> timeToAcknowledge() {
    List<AlarmEvent> calls = calls();
    if (calls.isEmpty()) {
      return Optional.empty();
    }
    Instant called = calls.get(0).time();
    return events.stream()
        .filter(e -> e.event() == AlarmEvent.Kind.ACKNOWLEDGED && !e.time().isBefore(called))
        .map(e -> Duration.between(called, e.time()))
        .findFirst();
  }
}
