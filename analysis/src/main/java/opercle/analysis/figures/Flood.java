// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.figures;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/**
 * More calls than one person can answer: begins with the call that makes more than ten in ten
 * minutes, and ends when there are fewer than five in ten minutes (EEMUA 191 and ISA-18.2, as read
 * in secondary accounts).
 *
 * @param start when it began
 * @param end when it ended; empty where it had not by the end of what was looked at
 */
public record Flood(Instant start, Optional<Instant> end) {

  static final Duration WINDOW = Duration.ofMinutes(10);
  static final int MORE_THAN = 10;
  private static final int FEWER_THAN = 5;

  /**
   * The floods among calls.
   *
   * @param calls their times, in order
   * @param until up to when is looked
   */
  static List<Flood> in(List<Instant> calls, Instant until) {
    List<Flood> floods = new ArrayList<>();
    int oldest = 0;
    Optional<Instant> start = Optional.empty();
    for (int next = 0; next <= calls.size(); next++) {
      Instant time = next < calls.size() ? calls.get(next) : until;
      // Calls leave the window one after another until the next one comes.
      while (oldest < next && !calls.get(oldest).plus(WINDOW).isAfter(time)) {
        Instant left = calls.get(oldest).plus(WINDOW);
        oldest++;
        if (start.isPresent() && next - oldest < FEWER_THAN) {
          floods.add(new Flood(start.get(), Optional.of(left)));
          start = Optional.empty();
        }
      }
      if (start.isEmpty() && next < calls.size() && next + 1 - oldest > MORE_THAN) {
        start = Optional.of(time);
      }
    }
    start.ifPresent(begun -> floods.add(new Flood(begun, Optional.empty())));
    return floods;
  }

  Duration lasting(Instant until) {
    return Duration.between(start, end.orElse(until));
  }
}
