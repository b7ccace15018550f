// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import java.time.Duration;
import java.time.Instant;
import java.util.Comparator;
import java.util.EnumSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.function.Function;
import java.util.stream.Collectors;
import opercle.analysis.calling.Call.Kind;
import opercle.analysis.monitor.MonitorTrouble;
import opercle.analysis.monitor.TroubleKey;
import opercle.analysis.monitor.TroubleKind;

/**
 * The monitor's own troubles in one turn of calling. What makes the watch blind or mute is told in
 * the same steps as an urgent alarm of which no time in hand is known, and from then on to
 * everybody, less often than an alarm: no fish are known to be short of gas, and where readings
 * stay away their tanks' alarms call too. One thread, once.
 */
final class MonitorTurn {

  private static final Set<TroubleKind> FOLLOWS =
      EnumSet.of(TroubleKind.NEWS_HELD_UP, TroubleKind.HEARTBEAT_HELD);

  /** After everybody was called (ours). */
  static final Duration REPEAT = Duration.ofMinutes(15);

  /** For so long <i>I have it</i> is believed while the trouble stands (ours). */
  static final Duration HAD = Duration.ofHours(1);

  /** As many as it takes to call everybody. */
  private static final int FIRST_STEPS = 4;

  private static final Comparator<MonitorTrouble> SAYS_MOST_FIRST =
      Comparator.comparing((MonitorTrouble t) -> t.key().kind() != t.key().kind().origin())
          .thenComparing(MonitorTrouble::since)
          .thenComparing(t -> t.key().id());

  /** How a turn tells one person by one way. */
  interface Teller {
    /** Tells those of the people who were called for something, but for one. */
    void toThoseCalled(Kind kind, MonitorCause cause);

    /** Tells the first person once, now by day, otherwise in the morning. */
    void once(List<MonitorCause> causes, boolean inTheMorning);
  }

  private final Instant now;
  private final Map<String, MonitorCause> causes;
  private final Outbox outbox;
  private final Escalation escalation;
  private final Ringer<MonitorCause> ringer;
  private final Teller teller;

  MonitorTurn(
      CallingPlan plan,
      Map<String, MonitorCause> causes,
      Instant now,
      Outbox outbox,
      Escalation escalation,
      Teller teller) {
    this.now = now;
    this.causes = new LinkedHashMap<>(causes);
    this.outbox = outbox;
    this.escalation = escalation;
    this.ringer = new Ringer<>(plan, escalation, outbox, this.causes);
    this.teller = teller;
  }

  // --- news

  /** Takes in what stands now, all of it. */
  void standing(News.Troubles news) {
    Map<String, List<MonitorTrouble>> byCause =
        news.standing().stream()
            .sorted(SAYS_MOST_FIRST)
            .collect(
                Collectors.groupingBy(
                    t -> MonitorCause.idOf(t.key()), LinkedHashMap::new, Collectors.toList()));
    byCause.forEach((id, troubles) -> stands(id, troubles, news.stocked()));
    for (MonitorCause known : List.copyOf(causes.values())) {
      if (known.stands() && !byCause.containsKey(known.id())) {
        // What waits to be tried again is kept: it may be back before it counts as over.
        causes.put(known.key(), known.gone(now));
      }
    }
  }

  private void stands(String id, List<MonitorTrouble> troubles, boolean stocked) {
    Optional<MonitorCause> known =
        causes.values().stream().filter(c -> c.id().equals(id)).findFirst();
    MonitorCause cause =
        known
            .filter(c -> !c.over())
            .map(c -> c.standing(troubles, now))
            .orElseGet(
                () ->
                    MonitorCause.of(id, troubles, known.map(c -> c.returns() + 1).orElse(0), now));
    known.filter(MonitorCause::over).ifPresent(old -> causes.remove(old.key()));
    boolean urgent = stocked && cause.calls() == TroubleKind.Calls.AT_ONCE;
    if (urgent != cause.urgent()) {
      cause = cause.urgent(urgent, now);
      dropUrgent(cause.key());
    }
    causes.put(cause.key(), cause);
  }

  /** Somebody has it. */
  void had(News.Had news) {
    MonitorCause cause = causes.get(news.key());
    if (cause == null || !cause.urgent() || cause.over() || cause.by().isPresent()) {
      return;
    }
    MonitorCause had = cause.had(news.person(), now);
    causes.put(had.key(), had);
    dropUrgent(had.key());
    teller.toThoseCalled(Kind.TAKEN, had);
  }

  private void dropUrgent(String key) {
    outbox.drop(p -> p.occurrence().equals(key) && p.call().isUrgent());
  }

  // --- what time brings

  void pass() {
    for (MonitorCause cause : List.copyOf(causes.values())) {
      if (cause.stands()) {
        callAgainIfStillHad(cause);
        stepIfDue(cause.key());
      } else {
        endIfGone(cause);
      }
    }
    tellOnce();
  }

  private void endIfGone(MonitorCause cause) {
    if (cause.over()) {
      if (!now.isBefore(cause.turned().plus(MonitorCause.REMEMBERED))) {
        causes.remove(cause.key());
      }
    } else if (!now.isBefore(cause.turned().plus(cause.settles()))) {
      causes.put(cause.key(), cause.ended(now));
      dropUrgent(cause.key());
      teller.toThoseCalled(Kind.ENDED, cause);
    }
  }

  /** Whoever has it may have fallen asleep over it. */
  private void callAgainIfStillHad(MonitorCause cause) {
    if (cause.urgent() && cause.by().isPresent() && !now.isBefore(cause.had().plus(HAD))) {
      causes.put(cause.key(), cause.begun(now));
    }
  }

  private void stepIfDue(String key) {
    MonitorCause cause = causes.get(key);
    if (cause == null || !cause.calling() || escalation.isNobodyThere()) {
      return;
    }
    if (cause.step() == 0 || !now.isBefore(cause.stepped().plus(wait(cause.step())))) {
      causes.put(key, cause.stepped(now));
      escalation
          .targets(cause.step(), OptionalDouble.empty())
          .forEach(target -> ringer.ring(key, target));
    }
  }

  private static Duration wait(int steps) {
    return steps <= FIRST_STEPS ? Escalation.wait(steps, OptionalDouble.empty()) : REPEAT;
  }

  /** What is not urgent, once it has lasted, and while nothing worse may be behind it. */
  private void tellOnce() {
    List<MonitorCause> untold =
        causes.values().stream()
            .filter(c -> c.isToTell(now))
            .filter(c -> !isConsequence(c))
            .toList();
    untold.forEach(c -> causes.put(c.key(), c.told(now)));
    Map<Boolean, List<MonitorCause>> byMorning =
        untold.stream()
            .collect(Collectors.partitioningBy(c -> c.calls() == TroubleKind.Calls.IN_THE_MORNING));
    byMorning.forEach((morning, some) -> teller.once(some, morning));
  }

  /** Held-up news and a held heartbeat follow from other troubles; whatever else stands is news. */
  private boolean isConsequence(MonitorCause cause) {
    return cause.troubles().stream().allMatch(t -> FOLLOWS.contains(t.key().kind()))
        && causes.values().stream()
            .anyMatch(c -> !c.over() && c.calls() == TroubleKind.Calls.AT_ONCE);
  }

  // --- for the turn

  /** Tries another way for a call that failed or is not answered, unless it is gone just now. */
  void anotherWay(CallingState.Pending p) {
    if (!isPaused(p.occurrence())) {
      ringer.ringNext(p.occurrence(), p.target());
    }
  }

  /** Whether people are being called for what shows itself by this. */
  boolean calls(TroubleKey key) {
    return causes.values().stream()
        .anyMatch(c -> c.calling() && c.troubles().stream().anyMatch(t -> t.key().equals(key)));
  }

  /** Whether people are being called for the same cause as in this occurrence, or again. */
  boolean callsAgain(String key) {
    return causes.values().stream().anyMatch(c -> c.calling() && c.isSameCause(key));
  }

  /** That it is settled, and how, if a person was called for it and does not have it. */
  Optional<Kind> settled(String key, String person) {
    return of(key, c -> c)
        .filter(c -> c.called().contains(person))
        .filter(c -> !c.by().map(person::equalsIgnoreCase).orElse(false))
        .filter(c -> c.over() || c.by().isPresent())
        .map(c -> c.over() ? Kind.ENDED : Kind.TAKEN);
  }

  /** What a call about an occurrence is about. */
  About about(String key) {
    return of(key, MonitorCause::about).orElse(About.NOTHING);
  }

  /** Whether people are being called for it. */
  boolean calls(String key) {
    return of(key, MonitorCause::calling).orElse(false);
  }

  /** Whether its calls are to wait: it does not stand just now, but may be back. */
  boolean isPaused(String key) {
    return of(key, c -> !c.stands()).orElse(false);
  }

  /** Whether a trouble stands. */
  boolean stands(TroubleKey key) {
    return causes.values().stream()
        .anyMatch(c -> c.stands() && c.troubles().stream().anyMatch(t -> t.key().equals(key)));
  }

  /**
   * Whether a trouble is not over: it stands, or has gone for too short a time to count as over.
   */
  boolean isNotOver(TroubleKey key) {
    return causes.values().stream()
        .anyMatch(c -> !c.over() && c.troubles().stream().anyMatch(t -> t.key().equals(key)));
  }

  /** The troubles of an occurrence; none if it is no longer known. */
  List<MonitorTrouble> troubles(String key) {
    return of(key, MonitorCause::troubles).orElse(List.of());
  }

  private <T> Optional<T> of(String key, Function<MonitorCause, T> what) {
    return Optional.ofNullable(causes.get(key)).map(what);
  }

  Map<String, MonitorCause> causes() {
    return causes;
  }
}
