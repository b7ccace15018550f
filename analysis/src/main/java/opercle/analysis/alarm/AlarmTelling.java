// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

import java.time.Instant;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import opercle.analysis.alarm.AlarmEvent.Kind;

/**
 * The alarms of a book as others see them: with what lies over an alarm, whoever put it there, and
 * until when. Reads the book's orders as they are; not thread-safe.
 */
final class AlarmTelling {

  private final String tank;
  private final List<OutOfService> orders;

  /**
   * How one tank's alarms are told.
   *
   * @param orders what is out of service, kept by the book
   */
  AlarmTelling(String tank, List<OutOfService> orders) {
    this.tank = tank;
    this.orders = Collections.unmodifiableList(orders);
  }

  /** By which order a cause is out of service; empty where it is in service. */
  Optional<OutOfService> order(AlarmCause cause) {
    return orders.stream().filter(o -> o.covers(cause)).findFirst();
  }

  /** The state for all to see: out of service over shelved over suppressed over its own. */
  AlarmState state(AlarmEntry e) {
    if (order(e.finding().cause()).isPresent() && e.state() != AlarmState.NORMAL) {
      return AlarmState.OUT_OF_SERVICE;
    }
    if (e.shelf().isPresent()) {
      return AlarmState.SHELVED;
    }
    return e.root().isPresent() ? AlarmState.SUPPRESSED : e.state();
  }

  Alarm alarm(AlarmEntry e) {
    AlarmState state = state(e);
    return new Alarm(
        tank,
        e.finding().cause(),
        e.finding().priority(),
        state,
        e.since(),
        e.acknowledgedBy(),
        e.finding().message(),
        state.callsSomebody(),
        e.silence().map(Pause::until),
        heldBy(state, e),
        heldUntil(state, e),
        e.root(),
        e.tanks(),
        e.finding().timeInHandMinutes());
  }

  /** What happened to it, as it is after that. */
  AlarmEvent event(Instant now, Kind kind, AlarmEntry entry, Optional<String> by) {
    Finding f = entry.finding();
    AlarmState state = state(entry);
    return new AlarmEvent(
        now,
        tank,
        f.cause(),
        kind,
        f.priority(),
        state,
        f.timeInHandMinutes(),
        f.oxygenMgPerL(),
        f.message(),
        entry.since(),
        state.callsSomebody(),
        by,
        kind == Kind.SILENCED ? entry.silence().map(Pause::until) : heldUntil(state, entry),
        entry.root(),
        entry.tanks());
  }

  private Optional<String> heldBy(AlarmState state, AlarmEntry e) {
    return switch (state) {
      case OUT_OF_SERVICE -> order(e.finding().cause()).map(OutOfService::by);
      case SHELVED -> e.shelf().map(Pause::by);
      default -> Optional.empty();
    };
  }

  private Optional<Instant> heldUntil(AlarmState state, AlarmEntry e) {
    return switch (state) {
      case OUT_OF_SERVICE -> order(e.finding().cause()).map(OutOfService::until);
      case SHELVED -> e.shelf().map(Pause::until);
      default -> Optional.empty();
    };
  }
}
