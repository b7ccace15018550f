// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.util.ArrayDeque;
import java.util.Deque;
import java.util.OptionalDouble;

/** Readings per minute over the last minute, from a count that is looked at now and then. Safe. */
final class IntakeRate {

  private static final long MINUTE_NANOS = 60_000_000_000L;
  private static final long SHORTEST_NANOS = 5_000_000_000L;

  private record Look(long nanos, long readings) {}

  private final Deque<Look> looks = new ArrayDeque<>();

  /**
   * Looks.
   *
   * @param nanos of a clock that never steps
   * @param readings since the start
   */
  synchronized void look(long nanos, long readings) {
    looks.addLast(new Look(nanos, readings));
    while (looks.size() > 2 && nanos - looks.getFirst().nanos() > MINUTE_NANOS) {
      looks.removeFirst();
    }
  }

  /** Empty until it has looked for some seconds. */
  synchronized OptionalDouble perMinute() {
    if (looks.size() < 2) {
      return OptionalDouble.empty();
    }
    Look first = looks.getFirst();
    Look last = looks.getLast();
    long nanos = last.nanos() - first.nanos();
    return nanos < SHORTEST_NANOS
        ? OptionalDouble.empty()
        : OptionalDouble.of(
            (double) (last.readings() - first.readings()) * MINUTE_NANOS / (double) nanos);
  }
}
