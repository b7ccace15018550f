// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.time.Duration;
import java.time.Instant;
import java.util.Optional;
import opercle.analysis.holding.TankWork;
import opercle.analysis.watch.TankEvent;

/**
 * One thing that people did at a tank, as a trace is marked with it.
 *
 * @param time when it was done, whenever it was written down
 * @param kind the word for programs
 * @param by who says so; empty where nobody is named
 * @param words what and how much, in kg, L and °C; empty for a press of a button, which says no
 *     more than its kind
 * @param written when it was written down; empty where that was at once, or is not known
 * @param tellsOf the press of a button that tells of the same deed; empty where none does
 */
record TankDeed(
    Instant time,
    String kind,
    Optional<String> by,
    Optional<String> words,
    Optional<Instant> written,
    Optional<TankEvent.Kind> tellsOf) {

  /** A button at the tank and the form beside it, used within so long, tell of one deed. */
  private static final Duration SAME = TankWork.SAME_MEAL;

  /** Of what is written down the watch is told at the same moment. */
  private static final Duration AT_ONCE = Duration.ofMinutes(1);

  static TankDeed of(TankEvent event) {
    return new TankDeed(
        event.time(),
        event.kind().id(),
        event.by(),
        Optional.empty(),
        Optional.empty(),
        Optional.empty());
  }

  /** When it was written down, where that was later than it was done. */
  Optional<Instant> writtenLater() {
    return written.filter(at -> at.isAfter(time.plus(SAME)));
  }

  /** Whether an event says no more than this does. */
  boolean isToldBy(TankEvent event) {
    return tellsOf.filter(kind -> kind == event.kind()).isPresent()
        && (event.by().isEmpty() || event.by().equals(by))
        && (isWithin(SAME, time, event.time())
            || written.filter(at -> isWithin(AT_ONCE, at, event.time())).isPresent());
  }

  /** Whether it was done at that time, as near as people write it down. */
  boolean isDoneAt(Instant then) {
    return isWithin(SAME, time, then);
  }

  /** Whether both were written down in one step. */
  boolean isWrittenWith(TankDeed other) {
    return written
        .filter(at -> other.written.filter(then -> isWithin(AT_ONCE, at, then)).isPresent())
        .isPresent();
  }

  private static boolean isWithin(Duration most, Instant a, Instant b) {
    return Duration.between(a, b).abs().compareTo(most) <= 0;
  }
}
