// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Predicate;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;

/**
 * What the watch told on the trip, or what a person answered.
 *
 * @param at when; the loading for what stood then already
 * @param cause which alarm
 * @param priority how urgent it was then
 * @param message its words
 * @param what whether the watch told it, or somebody answered
 */
public record WatchSaw(Instant at, AlarmCause cause, Priority priority, String message, What what) {

  /** What it was. */
  public enum What {
    /** The watch called, or called again. */
    TOLD,
    /** It stood already when the fish went in. */
    STOOD,
    /** A named person has it. */
    TAKEN
  }

  /** Whether the watch told it by itself. */
  public boolean isTold() {
    return what != What.TAKEN;
  }

  /**
   * All of a trip, in order.
   *
   * @param alarms of its tank, in order of time, from before it too
   * @param from when it began
   */
  static List<WatchSaw> of(List<AlarmEvent> alarms, Instant from) {
    Map<AlarmCause, AlarmEvent> before = new HashMap<>();
    List<WatchSaw> saw = new ArrayList<>();
    for (AlarmEvent event : alarms) {
      if (event.time().isBefore(from)) {
        before.put(event.cause(), event);
      }
    }
    Predicate<AlarmEvent> stands =
        e -> e.state() == AlarmState.UNACKNOWLEDGED || e.state() == AlarmState.ACKNOWLEDGED;
    alarms.stream()
        .filter(e -> e.equals(before.get(e.cause())) && stands.test(e))
        .forEach(e -> saw.add(seen(e, from, "It stood when the fish went in: ", What.STOOD)));
    for (AlarmEvent event : alarms) {
      if (!event.time().isBefore(from)) {
        switch (event.event()) {
          case RAISED -> saw.add(seen(event, event.time(), "", What.TOLD));
          case ESCALATED, RE_ALARMED ->
              saw.add(seen(event, event.time(), "It got worse, or no better: ", What.TOLD));
          case ACKNOWLEDGED ->
              saw.add(
                  seen(
                      event,
                      event.time(),
                      event.by().orElse("Somebody") + " said that they have it: ",
                      What.TAKEN));
          default -> {}
        }
      }
    }
    return saw;
  }

  private static WatchSaw seen(AlarmEvent event, Instant at, String words, What what) {
    return new WatchSaw(at, event.cause(), event.priority(), words + event.message(), what);
  }
}
