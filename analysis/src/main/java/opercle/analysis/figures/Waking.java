// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.figures;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.Priority;

/**
 * Somebody was woken: a call of high priority in the night. Calls within half an hour of the one
 * before are the same waking, for who is up is not woken again.
 *
 * @param time of its first call
 * @param alarms the occurrences that called, in order
 * @param was whether it was for something
 */
public record Waking(Instant time, List<Occurrence> alarms, Was was) {

  private static final Duration UP_FOR = Duration.ofMinutes(30);

  /** Whether there was something to do. */
  public enum Was {
    /** A person says so of one alarm at least. */
    TRUE,
    /** A person says of every alarm that there was not. */
    FALSE,
    /** Nobody has said. */
    NOT_SAID
  }

  public Waking {
    alarms = List.copyOf(alarms);
  }

  private record Call(Instant time, Occurrence of) {}

  static List<Waking> in(Week week, Instant until, List<Occurrence> occurrences) {
    List<Call> calls = new ArrayList<>();
    for (Occurrence occurrence : occurrences) {
      for (AlarmEvent event : occurrence.calls()) {
        if (event.priority() == Priority.HIGH
            && week.isNight(event.time())
            && !event.time().isBefore(week.start())
            && event.time().isBefore(until)) {
          calls.add(new Call(event.time(), occurrence));
        }
      }
    }
    calls.sort(Comparator.comparing(Call::time));
    List<Waking> wakings = new ArrayList<>();
    int first = 0;
    for (int next = 1; next <= calls.size(); next++) {
      if (next == calls.size()
          || Duration.between(calls.get(next - 1).time(), calls.get(next).time()).compareTo(UP_FOR)
              > 0) {
        wakings.add(of(calls.subList(first, next)));
        first = next;
      }
    }
    return wakings;
  }

  /** How many wakings calls make that are for no tank. */
  static int count(Week week, List<Instant> calls) {
    Instant before = Instant.MIN;
    int wakings = 0;
    for (Instant call : calls) {
      if (week.isNight(call)) {
        wakings += before.isBefore(call.minus(UP_FOR)) ? 1 : 0;
        before = call;
      }
    }
    return wakings;
  }

  private static Waking of(List<Call> calls) {
    List<Occurrence> alarms = calls.stream().map(Call::of).distinct().toList();
    boolean anyTrue =
        alarms.stream().anyMatch(a -> a.verdict().filter(v -> v.wasTrue()).isPresent());
    boolean allFalse =
        alarms.stream().allMatch(a -> a.verdict().filter(v -> !v.wasTrue()).isPresent());
    return new Waking(
        calls.get(0).time(), alarms, anyTrue ? Was.TRUE : allFalse ? Was.FALSE : Was.NOT_SAID);
  }
}
