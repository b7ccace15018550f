// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.monitor.MonitorTrouble;

/**
 * One thing to tell one person by one channel.
 *
 * @param key names it for good: the same key again is the same call again, never news
 * @param person whom
 * @param channel which of that person's channels
 * @param kind why
 * @param made when it was made, by the wall clock
 * @param driving whether the person is at the wheel when it is handed out: one sentence, nothing to
 *     read or to press
 * @param number the how manyth call about this alarm to anybody; from 1
 * @param about the alarms, the least time in hand first; empty for a test, and where it is about
 *     the monitor alone
 * @param troubles what is wrong with the monitor itself; empty where it is about tanks alone
 * @param occurrence names what the call is about in {@link CallingState}; empty where it is about
 *     several things, or a test
 * @param by who has the alarm, or who asked for the test; empty otherwise
 * @param over which of these were over when it was made, by {@link CallingState.Occurrence#key} and
 *     {@link MonitorTrouble}'s key: in the morning not all that came up at night still stands
 * @param renewed when it was last handed out with other words than the time before, by the wall
 *     clock; empty while it says what it said at first
 * @param earlier messages that this channel was handed before about the same thing, the oldest
 *     first; former editions of this one among them
 */
public record Call(
    String key,
    String person,
    String channel,
    Kind kind,
    Instant made,
    boolean driving,
    int number,
    List<AlarmEvent> about,
    List<MonitorTrouble> troubles,
    String occurrence,
    Optional<String> by,
    Set<String> over,
    Optional<Instant> renewed,
    List<Earlier> earlier) {

  public Call {
    earlier = List.copyOf(earlier);
    about = List.copyOf(about);
    troubles = List.copyOf(troubles);
    over = Set.copyOf(over);
  }

  /** A call that was just made, and is the first about its thing. */
  public Call(
      String key,
      String person,
      String channel,
      Kind kind,
      Instant made,
      boolean driving,
      int number,
      List<AlarmEvent> about,
      List<MonitorTrouble> troubles,
      String occurrence,
      Optional<String> by,
      Set<String> over) {
    this(
        key,
        person,
        channel,
        kind,
        made,
        driving,
        number,
        about,
        troubles,
        occurrence,
        by,
        over,
        Optional.empty(),
        List.of());
  }

  /**
   * Names what it says for good: the same identifier again says the same again. Tried again in
   * other words, a call keeps its key and has another identifier.
   */
  public String identifier() {
    return renewed.map(at -> key + "." + at.toEpochMilli()).orElse(key);
  }

  /** When it was first handed out in these words, or made; by the wall clock. */
  public Instant sent() {
    return renewed.orElse(made);
  }

  /** Whether this alarm was over when the call was made. */
  public boolean isOver(AlarmEvent alarm) {
    return over.contains(CallingState.Occurrence.key(alarm));
  }

  /** Whether this trouble was over when the call was made. */
  public boolean isOver(MonitorTrouble trouble) {
    return over.contains(trouble.key().id());
  }

  /** The same call, with its alarms as they are now, to somebody who drives now, or does not. */
  Call asOfNow(List<AlarmEvent> alarms, boolean atTheWheel) {
    return with(alarms, atTheWheel, renewed, earlier);
  }

  /** The same, after these. */
  Call after(List<Earlier> before) {
    return with(about, driving, renewed, before);
  }

  /** The same in other words from then on. */
  Call renewed(Instant at) {
    return with(about, driving, Optional.of(at), earlier);
  }

  private Call with(
      List<AlarmEvent> alarms,
      boolean atTheWheel,
      Optional<Instant> lastRenewed,
      List<Earlier> before) {
    return new Call(
        key,
        person,
        channel,
        kind,
        made,
        atTheWheel,
        number,
        alarms,
        troubles,
        occurrence,
        by,
        over,
        lastRenewed,
        before);
  }

  /** Why somebody is told. */
  public enum Kind {
    /** An urgent alarm that nobody has. It is repeated until somebody has it. */
    ALARM,
    /** The watch itself is blind or mute. It is repeated until somebody has it, or it is over. */
    MONITOR,
    /** Something that is not urgent: told once. */
    NOTICE,
    /** More than one can be told of one by one. */
    MORE,
    /** Somebody has it: those who were called need not go. */
    TAKEN,
    /** It has ended, and nobody had it. */
    ENDED,
    /** What came up in the night and could wait. */
    MORNING,
    /** A test of the whole way. */
    TEST
  }

  /** Whether it is one step in calling for one thing, which the next step takes the place of. */
  public boolean isStep() {
    return kind == Kind.ALARM || kind == Kind.MONITOR;
  }

  /** Whether it calls for somebody to get up. */
  public boolean isUrgent() {
    return isStep() || kind == Kind.MORE;
  }
}
