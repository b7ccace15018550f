// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.Supplier;
import opercle.analysis.alarm.AlarmEvent.Kind;
import org.jspecify.annotations.Nullable;

/**
 * The alarms of one tank: findings, acts and passing time in, events out. One alarm at most for
 * each cause.
 *
 * <p>States are those of ISA-18.2 / IEC 62682 (see {@link AlarmState}). Beneath is one of A to E:
 *
 * <pre>
 *  from                       what happens                      to                       event
 *  A normal                   condition present                 B                        raised
 *  B unacknowledged           acknowledged                      C                        acknowledged
 *  B                          absent for the off-delay          D, or E where it latches cleared
 *  C acknowledged             absent for the off-delay          A, or E where it latches cleared
 *  C                          worse, or not better in time      B                        re-alarmed
 *  B, C                       priority goes up                  B                        escalated
 *  B, C                       other words, tanks, half the time the same                 changed
 *  D returned unacknowledged  acknowledged                      A                        acknowledged
 *  D, E                       condition present                 B                        raised
 *  E latched unacknowledged   acknowledged                      E acknowledged           acknowledged
 *  E latched                  reset                             A                        reset
 * </pre>
 *
 * <p>Over it lies, where it applies, H out of service, else F shelved, else G suppressed: the alarm
 * goes on beneath and is told, but calls nobody. Out of shelf or service it returns by its
 * condition: present to B, absent to A, or to E where it has latched. A shelf ends early if the
 * alarm becomes, or comes back, more urgent, or if the time in hand would not last until its end.
 *
 * <p>So {@code cleared} says that the condition ended, not that the alarm is dealt with. A higher
 * priority is a new call and takes acknowledgement, silence and shelf back. What another alarm
 * spoke for is done with when its condition ends: it is that other one that somebody must look to.
 *
 * <p>No chattering: an alarm clears only when its condition has been absent for the whole off-delay
 * of its {@link AlarmRule}; {@link Worsening} says how often it is told.
 *
 * <p>What a condition makes of an alarm is worked out by {@link ConditionRules}, how it looks from
 * outside by {@link AlarmTelling}; the book takes what people do.
 *
 * <p>Pure and in event time: the instants are the caller's. Where time steps back, running delays
 * start again. Not thread-safe.
 */
public final class AlarmBook {

  private static final Comparator<Alarm> MOST_URGENT_FIRST =
      Comparator.comparing(Alarm::priority).thenComparing(Alarm::since).thenComparing(Alarm::cause);

  private final String tank;
  private final StandingAlarms alarms;
  private final ServiceOrders orders;

  /**
   * An empty book.
   *
   * @param tank the tank's id, for the events
   */
  public AlarmBook(String tank) {
    this.tank = tank;
    this.alarms = new StandingAlarms(tank);
    this.orders = alarms.orders();
  }

  /** Says that a condition is present now; it is its tank's own affair. */
  public Optional<AlarmEvent> present(Instant now, Finding finding) {
    return present(now, finding, Optional.empty(), List.of(), Optional.empty());
  }

  /**
   * Says that a condition is present now.
   *
   * @param root the alarm that speaks for this one; empty where it speaks for itself
   * @param tanks all that this one speaks for, the least time in hand first; empty for its own
   * @param over the alarm that spoke for this one until now, where somebody had that: they have
   *     this one too, unless somebody has it already, and no more time to make it better
   * @return what that makes of its alarm; empty when it is no news
   */
  public Optional<AlarmEvent> present(
      Instant now,
      Finding finding,
      Optional<AlarmId> root,
      List<String> tanks,
      Optional<AlarmEntry> over) {
    @Nullable AlarmEntry old = alarms.entry(finding.cause());
    return take(
        now,
        old == null || !old.isPresent()
            ? ConditionRules.raised(now, Optional.ofNullable(old), finding, root, tanks)
            : ConditionRules.present(now, old, finding, root, tanks, over));
  }

  /**
   * Says that a condition is absent now. Its alarm, if one stands, clears once this has been said
   * for the whole off-delay without the condition coming back.
   *
   * @param allClear the words for the clearing; asked for only when it clears
   */
  public Optional<AlarmEvent> absent(Instant now, AlarmCause cause, Supplier<Finding> allClear) {
    @Nullable AlarmEntry old = alarms.entry(cause);
    if (old == null || !old.isPresent()) {
      return Optional.empty();
    }
    return take(now, ConditionRules.absent(now, old, allClear));
  }

  /** Keeps what follows, and tells it where it is news. */
  private Optional<AlarmEvent> take(Instant now, ConditionRules.Next next) {
    if (next.news().isPresent()) {
      boolean goesOn = next.news().get() == Kind.UNSUPPRESSED;
      return alarms.tell(
          now,
          next.news().get(),
          next.entry(),
          goesOn ? next.entry().acknowledgedBy() : Optional.empty());
    }
    alarms.keep(next.entry());
    return Optional.empty();
  }

  /** Time has passed: silences, shelvings and times out of service end. */
  public List<AlarmEvent> pass(Instant now) {
    List<AlarmEvent> events = new ArrayList<>();
    for (AlarmEntry e : alarms.all()) {
      if (e.silence().isEmpty() && e.shelf().isEmpty()) {
        continue;
      }
      Optional<Pause> silence = e.silence().map(p -> p.at(now)).filter(p -> !p.isOver(now));
      Optional<Pause> shelf = e.shelf().map(p -> p.at(now));
      AlarmEntry kept = e.change().silence(silence).shelf(shelf).done();
      alarms.keep(kept);
      if (shelf.isPresent() && shelf.get().isOver(now)) {
        unshelve(now, kept, shelf.get().by()).ifPresent(events::add);
      }
    }
    events.addAll(orders.pass(now));
    return events;
  }

  /**
   * A named person has it.
   *
   * @param cause which alarm; without one that somebody should have, nothing happens
   * @param by who; not blank. Acknowledging again changes nothing: the first name stays
   * @throws IllegalArgumentException if the name is blank
   */
  public Optional<AlarmEvent> acknowledge(Instant now, AlarmCause cause, String by) {
    requireName(by, cause.id());
    @Nullable AlarmEntry old = alarms.entry(cause);
    if (old == null || old.shelf().isPresent() || !alarms.isInService(cause)) {
      return Optional.empty();
    }
    AlarmEntry.Change next = old.change();
    switch (old.state()) {
      case UNACKNOWLEDGED ->
          next.had(AlarmState.ACKNOWLEDGED, Optional.of(by))
              .checked(now, old.finding().timeInHandMinutes());
      case LATCHED_UNACKNOWLEDGED -> next.had(AlarmState.LATCHED_ACKNOWLEDGED, Optional.of(by));
      case RETURNED_UNACKNOWLEDGED -> next.open(AlarmState.NORMAL);
      default -> {
        return Optional.empty();
      }
    }
    return alarms.tell(now, Kind.ACKNOWLEDGED, next.done(), Optional.of(by));
  }

  /**
   * A named person stops its sound for {@link ShelvingRule#SILENCE}; nothing else changes. Of an
   * alarm that makes no sound, nothing.
   *
   * @throws IllegalArgumentException if the name is blank
   */
  public Optional<AlarmEvent> silence(Instant now, AlarmCause cause, String by) {
    requireName(by, cause.id());
    @Nullable AlarmEntry old = alarms.entry(cause);
    if (old == null || !shown(old).callsSomebody()) {
      return Optional.empty();
    }
    Pause pause = new Pause(by, now, ShelvingRule.SILENCE);
    return alarms.tell(
        now, Kind.SILENCED, old.change().silence(Optional.of(pause)).done(), Optional.of(by));
  }

  /**
   * A named person has looked, and a latched alarm is done with. Where none stands, nothing
   * happens.
   *
   * @throws RefusedActException if it is not latched
   * @throws IllegalArgumentException if the name is blank
   */
  public Optional<AlarmEvent> reset(Instant now, AlarmCause cause, String by) {
    requireName(by, cause.id());
    @Nullable AlarmEntry old = alarms.entry(cause);
    if (old == null) {
      return Optional.empty();
    }
    if (!old.state().isLatched()) {
      throw new RefusedActException(
          old.isPresent()
              ? "This cannot be reset yet: what it is about is still there, or ended less than %d"
                      .formatted(AlarmRule.of(cause).offDelay().toMinutes())
                  + " minutes ago."
              : "There is nothing to reset here. Say that you have it instead.");
    }
    AlarmEntry done = old.change().open(AlarmState.NORMAL).shelf(Optional.empty()).done();
    return alarms.tell(now, Kind.RESET, done, Optional.of(by));
  }

  /**
   * A named person puts a standing alarm aside. It comes back by itself.
   *
   * @param length for how long
   * @throws RefusedActException if that is too long, see {@link ShelvingRule}
   * @throws IllegalArgumentException if the name is blank
   */
  public Optional<AlarmEvent> shelve(Instant now, AlarmCause cause, String by, Duration length) {
    requireName(by, cause.id());
    @Nullable AlarmEntry old = alarms.entry(cause);
    if (old == null) {
      return Optional.empty();
    }
    ShelvingRule.check(old.finding().priority(), length);
    AlarmEntry shelved =
        old.change()
            .silence(Optional.empty())
            .shelf(Optional.of(new Pause(by, now, length)))
            .done();
    return alarms.tell(now, Kind.SHELVED, shelved, Optional.of(by));
  }

  /**
   * A named person takes it off the shelf; one that is not shelved stays as it is.
   *
   * @throws IllegalArgumentException if the name is blank
   */
  public Optional<AlarmEvent> unshelve(Instant now, AlarmCause cause, String by) {
    requireName(by, cause.id());
    @Nullable AlarmEntry old = alarms.entry(cause);
    return old == null || old.shelf().isEmpty() ? Optional.empty() : unshelve(now, old, by);
  }

  private Optional<AlarmEvent> unshelve(Instant now, AlarmEntry old, String by) {
    return alarms.tell(
        now,
        Kind.UNSHELVED,
        old.change().open(old.byCondition()).shelf(Optional.empty()).done(),
        Optional.of(by));
  }

  /**
   * Takes the tank, or a cause of it, out of service. An earlier order for the same is replaced.
   *
   * @return an event for every alarm that stands and was in service
   */
  public List<AlarmEvent> takeOutOfService(OutOfService order) {
    return orders.take(order);
  }

  /**
   * A named person returns the tank, or a cause of it, to service before its time.
   *
   * @param cause which cause; empty for the order over all of the tank
   * @throws IllegalArgumentException if the name is blank
   */
  public List<AlarmEvent> returnToService(Instant now, Optional<AlarmCause> cause, String by) {
    requireName(by, cause.map(AlarmCause::id).orElse("all"));
    return orders.end(now, cause, by);
  }

  /**
   * The tank is watched no longer: every alarm ends, and so does every order over it.
   *
   * @param why the whole text of each clearing
   */
  public List<AlarmEvent> endAll(Instant now, String why) {
    orders.restore(List.of());
    List<AlarmEvent> events = new ArrayList<>();
    for (AlarmEntry e : alarms.all()) {
      Finding f = e.finding();
      Finding ended =
          new Finding(
              f.cause(),
              f.priority(),
              f.gist(),
              OptionalDouble.empty(),
              OptionalDouble.empty(),
              why);
      AlarmEntry done =
          e.change()
              .finding(ended)
              .open(AlarmState.NORMAL)
              .shelf(Optional.empty())
              .root(Optional.empty())
              .tanks(List.of())
              .done();
      alarms.tell(now, Kind.CLEARED, done).ifPresent(events::add);
    }
    return events;
  }

  /** What is out of service, in the order in which it was taken out. */
  public List<OutOfService> outOfService() {
    return orders.all();
  }

  /** Whether nothing stands and nothing is out of service. */
  public boolean isEmpty() {
    return alarms.isEmpty() && orders.isEmpty();
  }

  /** Whether an alarm of this cause stands with its condition present. */
  public boolean isPresent(AlarmCause cause) {
    @Nullable AlarmEntry e = alarms.entry(cause);
    return e != null && e.isPresent();
  }

  /** The alarm of a cause as it is kept; empty where none stands. */
  public Optional<AlarmEntry> entry(AlarmCause cause) {
    return Optional.ofNullable(alarms.entry(cause));
  }

  /** The state of an alarm of this book for all to see. */
  public AlarmState shown(AlarmEntry e) {
    return alarms.shown(e);
  }

  /** The standing alarms, most urgent first; those whose condition has returned stand too. */
  public List<Alarm> standing() {
    return alarms.shown().sorted(MOST_URGENT_FIRST).toList();
  }

  /** The alarms as a value. */
  public Map<AlarmCause, AlarmEntry> snapshot() {
    return alarms.snapshot();
  }

  /** Makes the book what it was at a {@link #snapshot()}, and what was out of service then. */
  public void restore(Map<AlarmCause, AlarmEntry> snapshot, List<OutOfService> outOfService) {
    alarms.restore(snapshot);
    orders.restore(outOfService);
  }

  private void requireName(String by, String what) {
    if (by.isBlank()) {
      throw new IllegalArgumentException(
          "tank %s, alarm %s: this needs the name of who does it".formatted(tank, what));
    }
  }
}
