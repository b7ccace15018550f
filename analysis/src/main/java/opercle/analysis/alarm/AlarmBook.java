// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

import static opercle.analysis.alarm.Worsening.elapsed;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.EnumMap;
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
 * alarm becomes more urgent, or if the time in hand would not last until its end.
 *
 * <p>So {@code cleared} says that the condition ended, not that the alarm is dealt with. A higher
 * priority is a new call and takes acknowledgement, silence and shelf back. What another alarm
 * spoke for is done with when its condition ends: it is that other one that somebody must look to.
 *
 * <p>No chattering: an alarm clears only when its condition has been absent for the whole off-delay
 * of its {@link AlarmRule}; {@link Worsening} says how often it is told.
 *
 * <p>Pure and in event time: the instants are the caller's. Where time steps back, running delays
 * start again. Not thread-safe.
 */
public final class AlarmBook {

  private static final Comparator<Alarm> MOST_URGENT_FIRST =
      Comparator.comparing(Alarm::priority).thenComparing(Alarm::since).thenComparing(Alarm::cause);

  private final String tank;
  private final Map<AlarmCause, AlarmEntry> entries = new EnumMap<>(AlarmCause.class);
  private final List<OutOfService> orders = new ArrayList<>();

  /**
   * An empty book.
   *
   * @param tank the tank's id, for the events
   */
  public AlarmBook(String tank) {
    this.tank = tank;
  }

  /** Says that a condition is present now; it is its tank's own affair. */
  public Optional<AlarmEvent> present(Instant now, Finding finding) {
    return present(now, finding, Optional.empty(), List.of());
  }

  /**
   * Says that a condition is present now.
   *
   * @param root the alarm that speaks for this one; empty where it speaks for itself
   * @param tanks all that this one speaks for, the least time in hand first; empty for its own
   * @return what that makes of its alarm; empty when it is no news
   */
  public Optional<AlarmEvent> present(
      Instant now, Finding finding, Optional<AlarmId> root, List<String> tanks) {
    @Nullable AlarmEntry old = entries.get(finding.cause());
    if (old == null || !old.isPresent()) {
      AlarmEntry raised =
          AlarmEntry.raised(now, finding)
              .root(root)
              .tanks(tanks)
              .shelf(old == null ? Optional.empty() : old.shelf())
              .done();
      return tell(now, Kind.RAISED, raised, Optional.empty());
    }
    Priority held = old.finding().priority();
    AlarmEntry.Change next =
        old.change().absent(Optional.empty()).lower(Optional.empty()).root(root);
    if (finding.priority().compareTo(held) < 0) {
      next.open(AlarmState.UNACKNOWLEDGED).shelf(Optional.empty());
      return tell(now, Kind.ESCALATED, next.finding(finding).tanks(tanks).told(now).done());
    }
    if (finding.priority() != held) {
      Instant since = running(old.lowerSince(), now);
      next.lower(Optional.of(since));
      if (!elapsed(Worsening.LOWER_PRIORITY_AFTER, since, now)) {
        finding = finding.with(held);
      }
    }
    Optional<Kind> news = news(now, old, next, finding, root, tanks);
    if (news.isPresent()) {
      if (finding.priority() != held) {
        next.lower(Optional.empty());
      }
      return tell(now, news.get(), next.finding(finding).tanks(tanks).told(now).done());
    }
    // An untold gist must stay different from the told one, or the news would be lost.
    next.finding(finding.with(held).withGist(old.finding().gist()));
    entries.put(finding.cause(), next.done());
    return Optional.empty();
  }

  /** What there is to tell of an alarm that is no more urgent than it was. */
  private static Optional<Kind> news(
      Instant now,
      AlarmEntry old,
      AlarmEntry.Change next,
      Finding finding,
      Optional<AlarmId> root,
      List<String> tanks) {
    if (old.shelf().isPresent() && outlasts(old.shelf().get(), finding, now)) {
      next.open(AlarmState.UNACKNOWLEDGED).shelf(Optional.empty());
      return Optional.of(Kind.UNSHELVED);
    }
    if (!root.equals(old.root())) {
      return Optional.of(root.isPresent() ? Kind.SUPPRESSED : Kind.UNSUPPRESSED);
    }
    if (old.state() == AlarmState.ACKNOWLEDGED && root.isEmpty() && old.shelf().isEmpty()) {
      if (Worsening.callsAgain(old, finding, now)) {
        next.open(AlarmState.UNACKNOWLEDGED);
        return Optional.of(Kind.RE_ALARMED);
      }
      if (Worsening.isGivenAnew(old, now)) {
        next.checked(now, finding.timeInHandMinutes());
      }
    }
    return Worsening.isNews(old, finding, tanks, now)
        ? Optional.of(Kind.CHANGED)
        : Optional.empty();
  }

  private static boolean outlasts(Pause shelf, Finding finding, Instant now) {
    double left = Duration.between(now, shelf.until()).toMillis() / 60_000.0;
    return finding.timeInHandMinutes().isPresent()
        && finding.timeInHandMinutes().getAsDouble() < left;
  }

  /**
   * Says that a condition is absent now. Its alarm, if one stands, clears once this has been said
   * for the whole off-delay without the condition coming back.
   *
   * @param allClear the words for the clearing; asked for only when it clears
   */
  public Optional<AlarmEvent> absent(Instant now, AlarmCause cause, Supplier<Finding> allClear) {
    @Nullable AlarmEntry old = entries.get(cause);
    if (old == null || !old.isPresent()) {
      return Optional.empty();
    }
    AlarmRule rule = AlarmRule.of(cause);
    Instant since = running(old.absentSince(), now);
    if (!elapsed(rule.offDelay(), since, now)) {
      entries.put(cause, old.change().absent(Optional.of(since)).done());
      return Optional.empty();
    }
    AlarmEntry.Change next =
        old.change()
            .finding(allClear.get().with(old.finding().priority()))
            .told(now)
            .absent(Optional.empty())
            .lower(Optional.empty())
            .tanks(List.of())
            .root(Optional.empty());
    boolean had = old.state() == AlarmState.ACKNOWLEDGED;
    if (old.root().isPresent() || (had && !rule.latches())) {
      next.open(AlarmState.NORMAL);
    } else if (had) {
      next.had(AlarmState.LATCHED_ACKNOWLEDGED, old.acknowledgedBy());
    } else {
      next.open(
              rule.latches()
                  ? AlarmState.LATCHED_UNACKNOWLEDGED
                  : AlarmState.RETURNED_UNACKNOWLEDGED)
          .silence(old.silence());
    }
    return tell(now, Kind.CLEARED, next.done());
  }

  /** Time has passed: silences, shelvings and times out of service end. */
  public List<AlarmEvent> pass(Instant now) {
    List<AlarmEvent> events = new ArrayList<>();
    for (AlarmEntry e : List.copyOf(entries.values())) {
      if (e.silence().isEmpty() && e.shelf().isEmpty()) {
        continue;
      }
      Optional<Pause> silence = e.silence().map(p -> p.at(now)).filter(p -> !p.isOver(now));
      Optional<Pause> shelf = e.shelf().map(p -> p.at(now));
      AlarmEntry kept = e.change().silence(silence).shelf(shelf).done();
      entries.put(e.finding().cause(), kept);
      if (shelf.isPresent() && shelf.get().isOver(now)) {
        unshelve(now, kept, shelf.get().by()).ifPresent(events::add);
      }
    }
    orders.replaceAll(order -> order.at(now));
    for (OutOfService order : List.copyOf(orders)) {
      if (!now.isBefore(order.until())) {
        events.addAll(end(now, order, order.by()));
      }
    }
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
    @Nullable AlarmEntry old = entries.get(cause);
    if (old == null || old.shelf().isPresent() || orderFor(cause) != null) {
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
    return tell(now, Kind.ACKNOWLEDGED, next.done(), Optional.of(by));
  }

  /**
   * A named person stops its sound for {@link ShelvingRule#SILENCE}; nothing else changes. Of an
   * alarm that makes no sound, nothing.
   *
   * @throws IllegalArgumentException if the name is blank
   */
  public Optional<AlarmEvent> silence(Instant now, AlarmCause cause, String by) {
    requireName(by, cause.id());
    @Nullable AlarmEntry old = entries.get(cause);
    if (old == null || !shown(old).sounds()) {
      return Optional.empty();
    }
    Pause pause = new Pause(by, now, ShelvingRule.SILENCE);
    return tell(
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
    @Nullable AlarmEntry old = entries.get(cause);
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
    return tell(now, Kind.RESET, done, Optional.of(by));
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
    @Nullable AlarmEntry old = entries.get(cause);
    if (old == null) {
      return Optional.empty();
    }
    ShelvingRule.check(old.finding().priority(), length);
    AlarmEntry shelved =
        old.change()
            .silence(Optional.empty())
            .shelf(Optional.of(new Pause(by, now, length)))
            .done();
    return tell(now, Kind.SHELVED, shelved, Optional.of(by));
  }

  /**
   * A named person takes it off the shelf; one that is not shelved stays as it is.
   *
   * @throws IllegalArgumentException if the name is blank
   */
  public Optional<AlarmEvent> unshelve(Instant now, AlarmCause cause, String by) {
    requireName(by, cause.id());
    @Nullable AlarmEntry old = entries.get(cause);
    return old == null || old.shelf().isEmpty() ? Optional.empty() : unshelve(now, old, by);
  }

  private Optional<AlarmEvent> unshelve(Instant now, AlarmEntry old, String by) {
    return tell(
        now,
        Kind.UNSHELVED,
        old.change().open(byCondition(old)).shelf(Optional.empty()).done(),
        Optional.of(by));
  }

  /**
   * Takes the tank, or a cause of it, out of service. An earlier order for the same is replaced.
   *
   * @return an event for every alarm that stands and was in service
   */
  public List<AlarmEvent> takeOutOfService(OutOfService order) {
    List<AlarmEntry> before =
        entries.values().stream().filter(e -> orderFor(e.finding().cause()) == null).toList();
    orders.removeIf(o -> o.cause().equals(order.cause()));
    orders.add(order);
    List<AlarmEvent> events = new ArrayList<>();
    for (AlarmEntry e : before) {
      if (order.covers(e.finding().cause())) {
        AlarmEntry quiet = e.change().silence(Optional.empty()).done();
        tell(order.from(), Kind.OUT_OF_SERVICE, quiet, Optional.of(order.by()))
            .ifPresent(events::add);
      }
    }
    return events;
  }

  /**
   * A named person returns the tank, or a cause of it, to service before its time.
   *
   * @param cause which cause; empty for the order over all of the tank
   * @throws IllegalArgumentException if the name is blank
   */
  public List<AlarmEvent> returnToService(Instant now, Optional<AlarmCause> cause, String by) {
    requireName(by, cause.map(AlarmCause::id).orElse("all"));
    return orders.stream()
        .filter(o -> o.cause().equals(cause))
        .findFirst()
        .map(order -> end(now, order, by))
        .orElse(List.of());
  }

  private List<AlarmEvent> end(Instant now, OutOfService order, String by) {
    orders.remove(order);
    List<AlarmEvent> events = new ArrayList<>();
    for (AlarmEntry e : List.copyOf(entries.values())) {
      AlarmCause cause = e.finding().cause();
      if (order.covers(cause) && orderFor(cause) == null) {
        AlarmEntry back = e.change().open(byCondition(e)).done();
        tell(now, Kind.RETURNED_TO_SERVICE, back, Optional.of(by)).ifPresent(events::add);
      }
    }
    return events;
  }

  private static AlarmState byCondition(AlarmEntry e) {
    if (e.isPresent()) {
      return AlarmState.UNACKNOWLEDGED;
    }
    return e.state().isLatched() ? AlarmState.LATCHED_UNACKNOWLEDGED : AlarmState.NORMAL;
  }

  /**
   * The tank is watched no longer: every alarm ends, and so does every order over it.
   *
   * @param why the whole text of each clearing
   */
  public List<AlarmEvent> endAll(Instant now, String why) {
    orders.clear();
    List<AlarmEvent> events = new ArrayList<>();
    for (AlarmEntry e : List.copyOf(entries.values())) {
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
      tell(now, Kind.CLEARED, done).ifPresent(events::add);
    }
    return events;
  }

  /** What is out of service, in the order in which it was taken out. */
  public List<OutOfService> outOfService() {
    return List.copyOf(orders);
  }

  /** Whether nothing stands and nothing is out of service. */
  public boolean isEmpty() {
    return entries.isEmpty() && orders.isEmpty();
  }

  /** Whether an alarm of this cause stands with its condition present. */
  public boolean isPresent(AlarmCause cause) {
    @Nullable AlarmEntry e = entries.get(cause);
    return e != null && e.isPresent();
  }

  /** The alarm of a cause as it is kept; empty where none stands. */
  public Optional<AlarmEntry> entry(AlarmCause cause) {
    return Optional.ofNullable(entries.get(cause));
  }

  /** The state of an alarm of this book for all to see. */
  public AlarmState shown(AlarmEntry e) {
    if (orderFor(e.finding().cause()) != null && e.state() != AlarmState.NORMAL) {
      return AlarmState.OUT_OF_SERVICE;
    }
    if (e.shelf().isPresent()) {
      return AlarmState.SHELVED;
    }
    return e.root().isPresent() ? AlarmState.SUPPRESSED : e.state();
  }

  /** The standing alarms, most urgent first; those whose condition has returned stand too. */
  public List<Alarm> standing() {
    return entries.values().stream().map(this::alarm).sorted(MOST_URGENT_FIRST).toList();
  }

  private Alarm alarm(AlarmEntry e) {
    AlarmState state = shown(e);
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
        e.tanks());
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

  /** The alarms as a value. */
  public Map<AlarmCause, AlarmEntry> snapshot() {
    return Map.copyOf(entries);
  }

  /** Makes the book what it was at a {@link #snapshot()}, and what was out of service then. */
  public void restore(Map<AlarmCause, AlarmEntry> snapshot, List<OutOfService> outOfService) {
    entries.clear();
    entries.putAll(snapshot);
    orders.clear();
    orders.addAll(outOfService);
  }

  private @Nullable OutOfService orderFor(AlarmCause cause) {
    return order(cause).orElse(null);
  }

  private Optional<OutOfService> order(AlarmCause cause) {
    return orders.stream().filter(o -> o.covers(cause)).findFirst();
  }

  private Optional<AlarmEvent> tell(Instant now, Kind kind, AlarmEntry entry) {
    return tell(now, kind, entry, Optional.empty());
  }

  private Optional<AlarmEvent> tell(Instant now, Kind kind, AlarmEntry entry, Optional<String> by) {
    Finding f = entry.finding();
    if (entry.isDone()) {
      entries.remove(f.cause());
    } else {
      entries.put(f.cause(), entry);
    }
    AlarmState state = shown(entry);
    return Optional.of(
        new AlarmEvent(
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
            entry.tanks()));
  }

  private void requireName(String by, String what) {
    if (by.isBlank()) {
      throw new IllegalArgumentException(
          "tank %s, alarm %s: this needs the name of who does it".formatted(tank, what));
    }
  }

  /**
   * The start of a running delay, or now: if none runs, or if time stepped back before its start.
   */
  private static Instant running(Optional<Instant> since, Instant now) {
    return since.filter(s -> !s.isAfter(now)).orElse(now);
  }
}
