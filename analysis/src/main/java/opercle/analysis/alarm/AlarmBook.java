// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

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
import org.jspecify.annotations.Nullable;

/**
 * The alarms of one tank: findings in, events out. One alarm at most for each cause.
 *
 * <p>States are those of ISA-18.2 / IEC 62682 (see {@link AlarmState}):
 *
 * <pre>
 *  from                     what happens                        to                       event
 *  NORMAL                   condition present                   UNACKNOWLEDGED           raised
 *  UNACKNOWLEDGED           acknowledged                        ACKNOWLEDGED             acknowledged
 *  UNACKNOWLEDGED           absent for the off-delay            RETURNED_UNACKNOWLEDGED  cleared
 *  ACKNOWLEDGED             absent for the off-delay            NORMAL                   cleared
 *  RETURNED_UNACKNOWLEDGED  acknowledged                        NORMAL                   acknowledged
 *  RETURNED_UNACKNOWLEDGED  condition present                   UNACKNOWLEDGED           raised
 *  either with condition    priority goes up                    UNACKNOWLEDGED           escalated
 *  either with condition    gist changes, time in hand halves,
 *                           or priority down for five minutes   the same                 changed
 * </pre>
 *
 * <p>So {@code cleared} says that the condition ended, not that the alarm is dealt with: an alarm
 * that nobody acknowledged stays on the list until somebody does. A higher priority is a new call
 * and takes the acknowledgement back. Nothing else ends an alarm.
 *
 * <p>No chattering: an alarm clears only when its condition has been absent for the whole
 * off-delay, and {@code changed} is told at most once a minute, a new gist at most every five.
 * On-delays are the watch's business, for they cost time in hand.
 *
 * <p>Pure and in event time: the instants are the caller's. Where time steps back, running delays
 * start again. Not thread-safe.
 */
public final class AlarmBook {

  /** How long a condition must be absent before its alarm clears; alarm rationale, section 4. */
  public static final Duration OFF_DELAY = Duration.ofMinutes(2);

  /** Less time is told soon; other words for the same fall are not worth a second look so soon. */
  private static final Duration CHANGES_AT_MOST_EVERY = Duration.ofMinutes(1);

  private static final Duration NEW_GIST_AT_MOST_EVERY = Duration.ofMinutes(5);
  private static final Duration LOWER_PRIORITY_AFTER = Duration.ofMinutes(5);

  /** Where no time in hand has been told, one of less than half of this is news, minutes. */
  private static final double LONG_MINUTES = 120.0;

  private static final Comparator<Alarm> MOST_URGENT_FIRST =
      Comparator.comparing(Alarm::priority).thenComparing(Alarm::since).thenComparing(Alarm::cause);

  private final String tank;
  private final Map<AlarmCause, Entry> entries = new EnumMap<>(AlarmCause.class);

  /**
   * An empty book.
   *
   * @param tank the tank's id, for the events
   */
  public AlarmBook(String tank) {
    this.tank = tank;
  }

  /** One alarm of the book as a value, to be stored and compared. */
  public record Entry(
      AlarmState state,
      Instant since,
      Optional<String> acknowledgedBy,
      Finding finding,
      Instant lastTold,
      OptionalDouble toldMinutes,
      Optional<Instant> absentSince,
      Optional<Instant> lowerSince) {

    private Entry with(AlarmState newState, Optional<String> by) {
      return new Entry(
          newState, since, by, finding, lastTold, toldMinutes, absentSince, lowerSince);
    }

    private Entry absent(Instant from) {
      return new Entry(
          state,
          since,
          acknowledgedBy,
          finding,
          lastTold,
          toldMinutes,
          Optional.of(from),
          lowerSince);
    }

    private boolean conditionPresent() {
      return state != AlarmState.RETURNED_UNACKNOWLEDGED;
    }
  }

  /**
   * Says that a condition is present now.
   *
   * @return what that makes of its alarm; empty when it is no news
   */
  public Optional<AlarmEvent> present(Instant now, Finding finding) {
    @Nullable Entry old = entries.get(finding.cause());
    if (old == null || !old.conditionPresent()) {
      return tell(now, AlarmEvent.Kind.RAISED, fresh(now, AlarmState.UNACKNOWLEDGED, finding, now));
    }
    Priority held = old.finding().priority();
    if (finding.priority().compareTo(held) < 0) {
      return tell(
          now,
          AlarmEvent.Kind.ESCALATED,
          fresh(old.since(), AlarmState.UNACKNOWLEDGED, finding, now));
    }
    Optional<Instant> lowerSince = Optional.empty();
    if (finding.priority() != held) {
      Instant since = running(old.lowerSince(), now);
      if (!elapsed(LOWER_PRIORITY_AFTER, since, now)) {
        finding = withPriority(finding, held);
        lowerSince = Optional.of(since);
      }
    }
    boolean tellIt =
        (elapsed(CHANGES_AT_MOST_EVERY, old.lastTold(), now) || old.lastTold().isAfter(now))
            && (finding.priority() != held
                || (!finding.gist().equals(old.finding().gist())
                    && elapsed(NEW_GIST_AT_MOST_EVERY, old.lastTold(), now))
                || halved(old.toldMinutes(), finding.timeInHandMinutes()));
    if (!tellIt) {
      // An untold gist must stay different from the told one, or the news would be lost.
      Finding kept =
          new Finding(
              finding.cause(),
              held,
              old.finding().gist(),
              finding.timeInHandMinutes(),
              finding.oxygenMgPerL(),
              finding.message());
      entries.put(
          finding.cause(),
          new Entry(
              old.state(),
              old.since(),
              old.acknowledgedBy(),
              kept,
              old.lastTold(),
              old.toldMinutes(),
              Optional.empty(),
              lowerSince));
      return Optional.empty();
    }
    return tell(
        now,
        AlarmEvent.Kind.CHANGED,
        new Entry(
            old.state(),
            old.since(),
            old.acknowledgedBy(),
            finding,
            now,
            finding.timeInHandMinutes(),
            Optional.empty(),
            lowerSince));
  }

  /**
   * Says that a condition is absent now. Its alarm, if one stands, clears once this has been said
   * for the whole off-delay without the condition coming back.
   *
   * @param allClear the words for the clearing; asked for only when it clears
   */
  public Optional<AlarmEvent> absent(Instant now, AlarmCause cause, Supplier<Finding> allClear) {
    @Nullable Entry old = entries.get(cause);
    if (old == null || !old.conditionPresent()) {
      return Optional.empty();
    }
    Instant since = running(old.absentSince(), now);
    if (!elapsed(OFF_DELAY, since, now)) {
      entries.put(cause, old.absent(since));
      return Optional.empty();
    }
    Finding clear = withPriority(allClear.get(), old.finding().priority());
    if (old.state() == AlarmState.ACKNOWLEDGED) {
      entries.remove(cause);
      return Optional.of(
          event(
              now,
              AlarmEvent.Kind.CLEARED,
              AlarmState.NORMAL,
              clear,
              old.since(),
              Optional.empty()));
    }
    return tell(
        now,
        AlarmEvent.Kind.CLEARED,
        fresh(old.since(), AlarmState.RETURNED_UNACKNOWLEDGED, clear, now));
  }

  /**
   * A named person has it.
   *
   * @param cause which alarm; without one standing, nothing happens
   * @param by who; not blank. Acknowledging again changes nothing: the first name stays
   * @throws IllegalArgumentException if the name is blank
   */
  public Optional<AlarmEvent> acknowledge(Instant now, AlarmCause cause, String by) {
    if (by.isBlank()) {
      throw new IllegalArgumentException(
          "tank %s, alarm %s: an acknowledgement needs the name of who gives it"
              .formatted(tank, cause.id()));
    }
    @Nullable Entry old = entries.get(cause);
    if (old == null || old.state() == AlarmState.ACKNOWLEDGED) {
      return Optional.empty();
    }
    if (old.state() == AlarmState.RETURNED_UNACKNOWLEDGED) {
      entries.remove(cause);
      return Optional.of(
          event(
              now,
              AlarmEvent.Kind.ACKNOWLEDGED,
              AlarmState.NORMAL,
              old.finding(),
              old.since(),
              Optional.of(by)));
    }
    Entry acknowledged = old.with(AlarmState.ACKNOWLEDGED, Optional.of(by));
    entries.put(cause, acknowledged);
    return Optional.of(
        event(
            now,
            AlarmEvent.Kind.ACKNOWLEDGED,
            acknowledged.state(),
            acknowledged.finding(),
            old.since(),
            Optional.of(by)));
  }

  /** Whether nothing stands. */
  public boolean isEmpty() {
    return entries.isEmpty();
  }

  /** Whether an alarm of this cause stands with its condition present. */
  public boolean isPresent(AlarmCause cause) {
    @Nullable Entry e = entries.get(cause);
    return e != null && e.conditionPresent();
  }

  /** The standing alarms, most urgent first; those whose condition has returned stand too. */
  public List<Alarm> standing() {
    if (entries.isEmpty()) {
      return List.of();
    }
    List<Alarm> alarms = new ArrayList<>();
    for (Entry e : entries.values()) {
      alarms.add(
          new Alarm(
              tank,
              e.finding().cause(),
              e.finding().priority(),
              e.state(),
              e.since(),
              e.acknowledgedBy(),
              e.finding().message()));
    }
    alarms.sort(MOST_URGENT_FIRST);
    return List.copyOf(alarms);
  }

  /** The book as a value. */
  public Map<AlarmCause, Entry> snapshot() {
    return Map.copyOf(entries);
  }

  /** Makes the book what it was at a {@link #snapshot()}. */
  public void restore(Map<AlarmCause, Entry> snapshot) {
    entries.clear();
    entries.putAll(snapshot);
  }

  private static Entry fresh(Instant since, AlarmState state, Finding finding, Instant told) {
    return new Entry(
        state,
        since,
        Optional.empty(),
        finding,
        told,
        finding.timeInHandMinutes(),
        Optional.empty(),
        Optional.empty());
  }

  private Optional<AlarmEvent> tell(Instant now, AlarmEvent.Kind kind, Entry entry) {
    entries.put(entry.finding().cause(), entry);
    return Optional.of(
        event(now, kind, entry.state(), entry.finding(), entry.since(), Optional.empty()));
  }

  private AlarmEvent event(
      Instant now,
      AlarmEvent.Kind kind,
      AlarmState state,
      Finding f,
      Instant since,
      Optional<String> by) {
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
        since,
        state.callsSomebody(),
        by,
        Optional.empty(),
        Optional.empty(),
        List.of());
  }

  private static Finding withPriority(Finding f, Priority priority) {
    return new Finding(
        f.cause(), priority, f.gist(), f.timeInHandMinutes(), f.oxygenMgPerL(), f.message());
  }

  private static boolean halved(OptionalDouble told, OptionalDouble now) {
    return now.isPresent() && now.getAsDouble() <= told.orElse(LONG_MINUTES) / 2.0;
  }

  private static boolean elapsed(Duration delay, Instant from, Instant to) {
    return Duration.between(from, to).compareTo(delay) >= 0;
  }

  /**
   * The start of a running delay, or now: if none runs, or if time stepped back before its start.
   */
  private static Instant running(Optional<Instant> since, Instant now) {
    return since.filter(s -> !s.isAfter(now)).orElse(now);
  }
}
