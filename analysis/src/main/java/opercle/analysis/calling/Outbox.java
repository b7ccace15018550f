// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.UUID;
import java.util.function.Predicate;
import java.util.function.UnaryOperator;
import opercle.analysis.calling.Call.Kind;
import opercle.analysis.calling.CallingState.Health;
import opercle.analysis.calling.CallingState.Pending;
import opercle.analysis.calling.CallingState.Tally;

/**
 * The calls of one turn: makes them, keeps to the ten messages in ten minutes, tries them again,
 * and knows which channels work. One thread, one turn.
 */
final class Outbox {

  /** After section 5 of the alarm figures: ten in the first ten minutes after a major upset. */
  static final Duration STRETCH = Duration.ofMinutes(10);

  static final int MOST_MESSAGES = 10;

  /** So many of the ten tell of several alarms together. */
  private static final int TOGETHER = 2;

  private static final int ONE_BY_ONE = MOST_MESSAGES - TOGETHER;

  /** One is left for the news that somebody has it, or that it is over. */
  private static final int STEPS = ONE_BY_ONE - 1;

  private static final Duration BETWEEN_MORE = Duration.ofMinutes(2);

  private final Instant at;
  private final Instant now;
  private final Set<String> driving;
  private final List<Pending> pending;
  private final Map<String, Tally> tallies;
  private final Map<String, Health> channels;
  private final Handed handed;
  private final List<Call> made = new ArrayList<>();
  private final List<Call> toSend = new ArrayList<>();
  private long count;

  Outbox(CallingState state, Instant at, Instant now, Set<String> driving) {
    this.at = at;
    this.now = now;
    this.driving = driving;
    this.pending = new ArrayList<>(state.pending());
    this.tallies = new LinkedHashMap<>(state.tallies());
    this.channels = new LinkedHashMap<>(state.channels());
    this.handed = new Handed(state.handed());
    this.count = state.made();
  }

  /** Whether a channel's last attempt failed, or is not answered. */
  boolean isDoubtful(Target target) {
    return health(target).isDoubtful();
  }

  /**
   * Whether a person may be told of one more thing.
   *
   * @param message names what is told, by however many channels
   * @param occurrence what to tell of together with others, if not
   */
  boolean admits(String person, String message, String occurrence) {
    return admits(person, message, occurrence, ONE_BY_ONE);
  }

  /** Whether a person may be told of one more thing that can as well wait. */
  boolean hasRoom(String person) {
    return tally(person).messages().size() < STEPS;
  }

  /** The same for a step in calling. */
  boolean admitsStep(String person, String message, String occurrence) {
    return admits(person, message, occurrence, STEPS);
  }

  private boolean admits(String person, String message, String occurrence, int most) {
    Tally tally = tally(person);
    if (tally.messages().containsKey(message)) {
      return true;
    }
    if (tally.messages().size() < most) {
      tallies.put(person, tally.told(message, occurrence, now));
      return true;
    }
    Set<String> folded = new LinkedHashSet<>(tally.folded());
    folded.add(occurrence);
    tallies.put(person, tally.waiting(folded));
    return false;
  }

  /**
   * What a person is now to be told of together, because it could not be told one by one; empty if
   * nothing, or not yet. The last message of the ten is kept for what they have not heard of at
   * all: a new tank must not wait behind reminders of the old ones.
   *
   * @param stillCalls whether an occurrence is still to be told
   * @param isSettled whether they are still to be told that it is settled; that waits for room
   */
  List<String> folded(String person, Predicate<String> stillCalls, Predicate<String> isSettled) {
    Tally tally = tally(person);
    List<String> folded = tally.folded().stream().filter(stillCalls).toList();
    List<String> settled =
        tally.folded().stream()
            .filter(key -> !stillCalls.test(key) && isSettled.test(key))
            .toList();
    boolean isNew = !tally.heardOf().keySet().containsAll(folded);
    boolean due =
        !folded.isEmpty()
            && tally.more().size() < (isNew ? TOGETHER : TOGETHER - 1)
            && tally.more().values().stream().allMatch(m -> !now.isBefore(m.plus(BETWEEN_MORE)));
    List<String> left = new ArrayList<>(due ? List.of() : folded);
    left.addAll(settled);
    tallies.put(
        person, (due ? tally.toldTogether("more " + count, folded, now) : tally).waiting(left));
    return due ? folded : List.of();
  }

  /** What waits to be told to a person, together or that it is settled. */
  List<String> waitingFor(String person) {
    return tally(person).folded();
  }

  /** What they were told of in the last ten minutes, one by one or together. */
  Set<String> heardOf(String person) {
    return tally(person).heardOf().keySet();
  }

  /** It was told, and waits no longer. */
  void unfold(String person, String occurrence) {
    Tally tally = tally(person);
    tallies.put(
        person,
        tally.waiting(tally.folded().stream().filter(key -> !key.equals(occurrence)).toList()));
  }

  private Tally tally(String person) {
    return tallies.getOrDefault(person, Tally.NOTHING).since(now.minus(STRETCH));
  }

  /**
   * Makes a call. One about the same that waits to be tried again gives way to it; where a channel
   * has one about the same just now, none is made.
   *
   * @param occurrence what it is about, where it is about one thing; empty otherwise
   * @param seed what makes its key: the same again is the same call
   */
  void make(Target target, Kind kind, String occurrence, String seed, int number, About about) {
    boolean isStep = kind == Kind.ALARM || kind == Kind.MONITOR;
    boolean underway =
        isStep && pending.stream().anyMatch(p -> p.isSent() && isSame(p, target, occurrence));
    if (underway) {
      return;
    }
    if (isStep) {
      pending.removeIf(p -> isSame(p, target, occurrence));
    }
    count++;
    Call call =
        new Call(
            key(seed + "\n" + target.id()),
            target.person(),
            target.channel(),
            kind,
            at,
            driving.contains(target.person()),
            number,
            about.alarms(),
            about.troubles(),
            occurrence,
            about.by(),
            about.over());
    Instant due = health(target).notBefore().filter(t -> t.isAfter(now)).orElse(now);
    made.add(call);
    pending.add(new Pending(call, occurrence, now, due, false, 0, false));
  }

  private static boolean isSame(Pending p, Target target, String occurrence) {
    return p.call().isStep() && p.occurrence().equals(occurrence) && p.target().equals(target);
  }

  private static String key(String seed) {
    return UUID.nameUUIDFromBytes(seed.getBytes(StandardCharsets.UTF_8)).toString();
  }

  /** Tells a person by the first way that is not in doubt. */
  void tell(Person person, Kind kind, String occurrence, String seed, About about) {
    make(firstWay(person), kind, occurrence, seed, 1, about);
  }

  Target firstWay(Person person) {
    List<Target> ways = person.channels().stream().map(c -> new Target(person.name(), c)).toList();
    return ways.stream().filter(w -> !isDoubtful(w)).findFirst().orElse(ways.get(0));
  }

  /** Names calls that no alarm names. */
  String serial() {
    return at.toEpochMilli() + "-" + count;
  }

  /**
   * What became of a call.
   *
   * @param isWanted whether it is still to be told
   * @return the call, if it failed and no other way was tried beside it yet, or if it was accepted
   */
  Optional<Pending> result(News.Result result, Predicate<Pending> isWanted) {
    Optional<Pending> found =
        pending.stream().filter(p -> p.isSent() && p.call().key().equals(result.key())).findFirst();
    if (found.isEmpty()) {
      return Optional.empty();
    }
    Pending call = found.get();
    pending.remove(call);
    if (result.delivery() instanceof Delivery.Failed failed) {
      failed(call.target(), failed);
      Duration limit = Retry.untilGivenUp(call.call().kind());
      if (failed.again() && isWanted.test(call) && now.isBefore(call.made().plus(limit))) {
        pending.add(call.again(now.plus(Retry.untilAgain(call, failed))).withAnotherWayTried());
      }
      return call.routed() ? Optional.empty() : found;
    }
    accepted(call);
    return found;
  }

  /** Calls that their channel has had for longer than that, each told once. */
  List<Pending> unanswered(Duration patience) {
    List<Pending> late =
        pending.stream()
            .filter(p -> p.isSent() && !p.routed() && !now.isBefore(p.due().plus(patience)))
            .toList();
    for (Pending p : late) {
      pending.set(pending.indexOf(p), p.withAnotherWayTried());
      trouble(
          p.target(),
          "no answer for %d s".formatted(patience.toSeconds()),
          health(p.target()).notBefore());
    }
    return late;
  }

  /** These ways are as if they were new. */
  void forget(Set<Target> ways) {
    ways.forEach(way -> channels.remove(way.id()));
  }

  /** Takes back calls that need not be made any more; those being sent cannot be taken back. */
  void drop(Predicate<Pending> unwanted) {
    pending.removeIf(p -> !p.isSent() && unwanted.test(p));
  }

  /**
   * What says once what has now been told need not be tried by another way any more; one that its
   * channel has just now is not sent again if it fails.
   */
  void dropSameAs(Call told) {
    pending.replaceAll(p -> p.isSent() && saysTheSame(p, told) ? p.lastTry() : p);
    drop(p -> saysTheSame(p, told));
  }

  /**
   * Whether a way has what says the same just now, and has not had it for too long: one at a time.
   */
  boolean isBeingTold(Pending waiting, Duration patience) {
    return !waiting.call().isStep()
        && pending.stream()
            .anyMatch(
                p ->
                    p.isSent()
                        && now.isBefore(p.due().plus(patience))
                        && saysTheSame(p, waiting.call()));
  }

  private static boolean saysTheSame(Pending p, Call told) {
    boolean isForAnybody = told.kind() == Kind.NOTICE || told.kind() == Kind.MORNING;
    return p.call().kind() == told.kind()
        && told.kind() != Kind.TEST
        && told.kind() != Kind.MORE // by all of their ways, each for itself
        && (isForAnybody || p.call().person().equals(told.person()))
        && p.call().about().equals(told.about())
        && p.call().troubles().equals(told.troubles())
        && p.occurrence().equals(told.occurrence());
  }

  /**
   * Takes back the notices that no channel has just now; one that waits for several ways, as often.
   */
  List<Call> takeBackNotices() {
    List<Call> back = waiting(p -> p.call().kind() == Kind.NOTICE);
    drop(p -> p.call().kind() == Kind.NOTICE);
    return back;
  }

  /** Calls that no channel has just now. */
  List<Call> waiting(Predicate<Pending> which) {
    return pending.stream().filter(p -> !p.isSent() && which.test(p)).map(Pending::call).toList();
  }

  /**
   * Hands out what is due, as being sent from now on.
   *
   * @param isHeld what is to wait although it is due
   * @param asOfNow a call as it is to be told now
   */
  void send(Predicate<Pending> isHeld, UnaryOperator<Call> asOfNow) {
    for (int i = 0; i < pending.size(); i++) {
      Pending p = pending.get(i);
      if (!p.isSent() && !p.due().isAfter(now) && !isHeld.test(p)) {
        Pending sent = p.sent(handed.edition(p, asOfNow.apply(p.call()), at), now);
        pending.set(i, sent);
        toSend.add(sent.call());
        handed.note(sent.call());
      }
    }
  }

  private void accepted(Pending call) {
    Optional<Instant> tested =
        call.call().kind() == Kind.TEST ? Optional.of(at) : health(call.target()).tested();
    channels.put(
        call.target().id(),
        new Health(Optional.empty(), Optional.empty(), Optional.empty(), Optional.of(at), tested));
  }

  private void failed(Target target, Delivery.Failed failed) {
    trouble(target, failed.reason(), Retry.leftAlone(failed).map(now::plus));
  }

  private void trouble(Target target, String reason, Optional<Instant> notBefore) {
    Health before = health(target);
    channels.put(
        target.id(),
        new Health(
            Optional.of(reason),
            before.since().or(() -> Optional.of(at)),
            notBefore,
            before.accepted(),
            before.tested()));
  }

  private Health health(Target target) {
    return channels.getOrDefault(target.id(), Health.UNKNOWN);
  }

  List<Pending> pending() {
    return pending;
  }

  /** What channels were handed about what still stands, or waits to be told. */
  Map<String, List<Earlier>> handed(Predicate<String> stands) {
    return handed.about(
        key -> stands.test(key) || pending.stream().anyMatch(p -> p.occurrence().equals(key)));
  }

  Map<String, Tally> tallies() {
    return tallies;
  }

  Map<String, Health> channels() {
    return channels;
  }

  List<Call> made() {
    return made;
  }

  List<Call> toSend() {
    return toSend;
  }

  long count() {
    return count;
  }
}
