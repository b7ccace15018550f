// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;

/**
 * One alarm of a book as a value, to be stored and compared.
 *
 * @param state A to E: as if nobody had put it aside and no other alarm spoke for it
 * @param since when this occurrence was raised
 * @param acknowledgedBy who has it, where somebody has
 * @param finding what was told last, with the newest time in hand and words
 * @param lastTold when the last event of it was told
 * @param toldMinutes the time in hand that was told then, minutes
 * @param absentSince since when its condition has been absent, while the off-delay runs
 * @param lowerSince since when it has been less urgent than was told
 * @param tanks the tanks that it was last told to speak for; empty for its own alone
 * @param checkedSince while somebody has it: since when it should be getting better
 * @param checkedMinutes the time in hand then, minutes
 * @param silence its sound is stopped
 * @param shelf it is put aside
 * @param root the alarm that speaks for it
 */
public record AlarmEntry(
    AlarmState state,
    Instant since,
    Optional<String> acknowledgedBy,
    Finding finding,
    Instant lastTold,
    OptionalDouble toldMinutes,
    Optional<Instant> absentSince,
    Optional<Instant> lowerSince,
    List<String> tanks,
    Optional<Instant> checkedSince,
    OptionalDouble checkedMinutes,
    Optional<Pause> silence,
    Optional<Pause> shelf,
    Optional<AlarmId> root) {

  public AlarmEntry {
    tanks = List.copyOf(tanks);
  }

  /** Whether its condition is present, or has been absent for less than the off-delay. */
  public boolean isPresent() {
    return state == AlarmState.UNACKNOWLEDGED || state == AlarmState.ACKNOWLEDGED;
  }

  /** The same with a newer finding, told to nobody. */
  public AlarmEntry with(Finding newest) {
    return change().finding(newest).done();
  }

  /** Whether nothing more is owed, so that it need not be kept. */
  boolean isDone() {
    return state == AlarmState.NORMAL && shelf.isEmpty();
  }

  /** What it returns to from the shelf, and out of service: to what its condition makes of it. */
  AlarmState byCondition() {
    if (isPresent()) {
      return AlarmState.UNACKNOWLEDGED;
    }
    return state.isLatched() ? AlarmState.LATCHED_UNACKNOWLEDGED : AlarmState.NORMAL;
  }

  /** A condition that has just come, or come back. */
  static Change raised(Instant now, Finding finding) {
    return new Change(AlarmState.UNACKNOWLEDGED, now, finding).told(now);
  }

  Change change() {
    return new Change(this);
  }

  /** An entry in the making. Not thread-safe. */
  static final class Change {
    private AlarmState state;
    private final Instant since;
    private Finding finding;
    private Optional<String> acknowledgedBy = Optional.empty();
    private Instant lastTold;
    private OptionalDouble toldMinutes = OptionalDouble.empty();
    private Optional<Instant> absentSince = Optional.empty();
    private Optional<Instant> lowerSince = Optional.empty();
    private List<String> tanks = List.of();
    private Optional<Instant> checkedSince = Optional.empty();
    private OptionalDouble checkedMinutes = OptionalDouble.empty();
    private Optional<Pause> silence = Optional.empty();
    private Optional<Pause> shelf = Optional.empty();
    private Optional<AlarmId> root = Optional.empty();

    private Change(AlarmState state, Instant since, Finding finding) {
      this.state = state;
      this.since = since;
      this.finding = finding;
      this.lastTold = since;
    }

    private Change(AlarmEntry e) {
      this(e.state, e.since, e.finding);
      acknowledgedBy = e.acknowledgedBy;
      lastTold = e.lastTold;
      toldMinutes = e.toldMinutes;
      absentSince = e.absentSince;
      lowerSince = e.lowerSince;
      tanks = e.tanks;
      checkedSince = e.checkedSince;
      checkedMinutes = e.checkedMinutes;
      silence = e.silence;
      shelf = e.shelf;
      root = e.root;
    }

    /** Nobody has it (any longer); it sounds. */
    Change open(AlarmState newState) {
      state = newState;
      acknowledgedBy = Optional.empty();
      checkedSince = Optional.empty();
      checkedMinutes = OptionalDouble.empty();
      silence = Optional.empty();
      return this;
    }

    Change had(AlarmState newState, Optional<String> by) {
      state = newState;
      acknowledgedBy = by;
      silence = Optional.empty();
      return this;
    }

    Change checked(Instant from, OptionalDouble minutes) {
      checkedSince = Optional.of(from);
      checkedMinutes = minutes;
      return this;
    }

    Change finding(Finding newest) {
      finding = newest;
      return this;
    }

    Change told(Instant now) {
      lastTold = now;
      toldMinutes = finding.timeInHandMinutes();
      return this;
    }

    Change absent(Optional<Instant> from) {
      absentSince = from;
      return this;
    }

    Change lower(Optional<Instant> from) {
      lowerSince = from;
      return this;
    }

    Change tanks(List<String> all) {
      tanks = all;
      return this;
    }

    Change silence(Optional<Pause> pause) {
      silence = pause;
      return this;
    }

    Change shelf(Optional<Pause> pause) {
      shelf = pause;
      return this;
    }

    Change root(Optional<AlarmId> id) {
      root = id;
      return this;
    }

    AlarmEntry done() {
      return new AlarmEntry(
          state,
          since,
          acknowledgedBy,
          finding,
          lastTold,
          toldMinutes,
          absentSince,
          lowerSince,
          tanks,
          checkedSince,
          checkedMinutes,
          silence,
          shelf,
          root);
    }
  }
}
