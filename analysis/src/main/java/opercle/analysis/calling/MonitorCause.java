// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import java.time.Duration;
import java.time.Instant;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import opercle.analysis.monitor.MonitorTrouble;
import opercle.analysis.monitor.TroubleKey;
import opercle.analysis.monitor.TroubleKind;

/**
 * Something wrong with the monitor that people are told of: one cause, whatever troubles it shows
 * itself by. Times are those of the clock that never goes back.
 *
 * @param id which cause; the same again is the same cause
 * @param since when it was first heard of, by the wall clock; with the id it names the occurrence
 * @param troubles by what it shows itself, or did last; the one that says most first
 * @param urgent whether it calls at any hour: it makes the watch blind or mute, and there are fish
 * @param stands whether it stands now
 * @param turned since when it stands, or does not
 * @param over whether it has been gone for so long that it counts as over
 * @param returns how often it came back soon after it had been over, or was told once more
 * @param episode how often calling began for it
 * @param step how many steps were taken in this episode
 * @param stepped when the last one was, or it was told
 * @param tried the channels called in this step, by {@link Target#id}
 * @param called who has been called for it, by name
 * @param told whether it was told, where it is not urgent
 * @param by who has it
 * @param had since when they have it; otherwise when calling began
 */
public record MonitorCause(
    String id,
    Instant since,
    List<MonitorTrouble> troubles,
    boolean urgent,
    boolean stands,
    Instant turned,
    boolean over,
    int returns,
    int episode,
    int step,
    Instant stepped,
    Set<String> tried,
    Set<String> called,
    boolean told,
    Optional<String> by,
    Instant had)
    implements Rung<MonitorCause> {

  /** What every key begins with; no tank's id holds a blank. */
  static final String KEYS_BEGIN = "the monitor/";

  /** Gone for so long, it is over; what comes back sooner is the same. Doubled with each return. */
  static final Duration SETTLES = Duration.ofMinutes(2);

  /**
   * The same for what another process says of itself, or no longer says. Whoever comes back, or the
   * watch anew, must first find it silent for a minute and wait for the trouble's own delay, and so
   * for the broker: longer than {@link #SETTLES}, and nothing is over in between.
   */
  static final Duration SETTLES_APART = Duration.ofMinutes(10);

  /** What comes back within this after it was over is taken to flap. */
  static final Duration REMEMBERED = Duration.ofHours(1);

  private static final int MOST_DOUBLINGS = 5;

  private static final Duration LONGEST = SETTLES.multipliedBy(1L << MOST_DOUBLINGS);

  public MonitorCause {
    troubles = List.copyOf(troubles);
    tried = Set.copyOf(tried);
    called = Set.copyOf(called);
  }

  /** Just heard of. */
  static MonitorCause of(String id, List<MonitorTrouble> troubles, int returns, Instant now) {
    return new MonitorCause(
        id,
        troubles.get(0).since(),
        troubles,
        false,
        true,
        now,
        false,
        returns,
        0,
        0,
        now,
        Set.of(),
        Set.of(),
        false,
        Optional.empty(),
        now);
  }

  /** Troubles that call at any hour share a call where they share a cause; others stand alone. */
  static String idOf(TroubleKey key) {
    return key.kind().calls() == TroubleKind.Calls.AT_ONCE ? key.kind().origin().id() : key.id();
  }

  /** Names the occurrence, in calls, links and the book. */
  public String key() {
    return KEYS_BEGIN + id + "/" + since.toEpochMilli();
  }

  /** Whether a key names an occurrence of the same cause. */
  boolean isSameCause(String key) {
    return key.startsWith(KEYS_BEGIN + id + "/");
  }

  /** When people are called for it, if there are fish. */
  TroubleKind.Calls calls() {
    return troubles.get(0).key().kind().calls();
  }

  @Override
  public boolean calling() {
    return urgent && !over && by.isEmpty();
  }

  @Override
  public String message() {
    return key() + " " + episode + "." + step;
  }

  @Override
  public Call.Kind kind() {
    return Call.Kind.MONITOR;
  }

  @Override
  public About about() {
    return About.troubles(troubles).by(by);
  }

  /** For how long it must be gone to be over: longer each time that it came back. */
  Duration settles() {
    boolean isApart = troubles.stream().anyMatch(t -> t.key().kind() == TroubleKind.INTAKE_TROUBLE);
    Duration once = isApart ? SETTLES_APART : SETTLES;
    Duration doubled = once.multipliedBy(1L << Math.min(returns, MOST_DOUBLINGS));
    return doubled.compareTo(LONGEST) > 0 ? LONGEST : doubled;
  }

  /**
   * Whether it is to be told, where it is not urgent: once it has lasted. Once more where it came
   * back, and it takes so long to be over that people may have seen it mended meanwhile: when it
   * has stood for as long.
   */
  boolean isToTell(Instant now) {
    if (!stands || urgent) {
      return false;
    }
    Duration settles = settles();
    return told
        ? turned.isAfter(stepped)
            && settles.compareTo(SETTLES) > 0
            && !now.isBefore(turned.plus(settles))
        : !now.isBefore(turned.plus(SETTLES));
  }

  /** It stands, as these. What is known of it keeps its words: figures in them would be news. */
  MonitorCause standing(List<MonitorTrouble> now, Instant at) {
    List<MonitorTrouble> kept =
        now.stream()
            .map(n -> troubles.stream().filter(t -> t.key().equals(n.key())).findFirst().orElse(n))
            .toList();
    return with(kept, true, stands ? turned : at, false);
  }

  /** It does not stand any longer, which need not last. */
  MonitorCause gone(Instant at) {
    return with(troubles, false, at, false);
  }

  /** It has been gone long enough. */
  MonitorCause ended(Instant at) {
    return with(troubles, false, at, true);
  }

  private MonitorCause with(
      List<MonitorTrouble> shown, boolean standing, Instant since, boolean isOver) {
    return new MonitorCause(
        id,
        this.since,
        shown,
        urgent,
        standing,
        since,
        isOver,
        returns,
        episode,
        step,
        stepped,
        tried,
        called,
        told,
        by,
        had);
  }

  /** From now on it is urgent, or no longer. */
  MonitorCause urgent(boolean isUrgent, Instant now) {
    return isUrgent ? begun(now) : episode(false, now, Optional.empty());
  }

  /** Calling begins, or begins again. */
  MonitorCause begun(Instant now) {
    return episode(true, now, Optional.empty());
  }

  /** Somebody has it. */
  MonitorCause had(String person, Instant now) {
    return new MonitorCause(
        id,
        since,
        troubles,
        urgent,
        stands,
        turned,
        over,
        returns,
        episode,
        step,
        stepped,
        tried,
        called,
        told,
        Optional.of(person),
        now);
  }

  private MonitorCause episode(boolean isUrgent, Instant now, Optional<String> nowBy) {
    return new MonitorCause(
        id,
        since,
        troubles,
        isUrgent,
        stands,
        turned,
        over,
        returns,
        episode + 1,
        0,
        now,
        Set.of(),
        called,
        told,
        nowBy,
        now);
  }

  MonitorCause stepped(Instant now) {
    return new MonitorCause(
        id, since, troubles, urgent, stands, turned, over, returns, episode, step + 1, now,
        Set.of(), called, told, by, had);
  }

  /** It was told; each time but the first, it takes twice as long to be told again. */
  MonitorCause told(Instant now) {
    return new MonitorCause(
        id,
        since,
        troubles,
        urgent,
        stands,
        turned,
        over,
        told ? returns + 1 : returns,
        episode,
        step,
        now,
        tried,
        called,
        true,
        by,
        had);
  }

  @Override
  public MonitorCause rung(Target target) {
    Set<String> nowTried = new LinkedHashSet<>(tried);
    nowTried.add(target.id());
    Set<String> nowCalled = new LinkedHashSet<>(called);
    nowCalled.add(target.person());
    return new MonitorCause(
        id, since, troubles, urgent, stands, turned, over, returns, episode, step, stepped,
        nowTried, nowCalled, told, by, had);
  }
}
