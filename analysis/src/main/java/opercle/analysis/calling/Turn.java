// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.Priority;
import opercle.analysis.calling.Call.Kind;
import opercle.analysis.calling.CallingState.Occurrence;
import opercle.analysis.calling.CallingState.Pending;
import opercle.analysis.calling.CallingState.Waiting;

/** One turn of calling: news in, then what is due. One thread, once. */
final class Turn {

  /** A test that could not be made at its hour is not made in the night instead. */
  private static final Duration TEST_TOO_LATE = Duration.ofHours(1);

  private static final Comparator<Occurrence> WORST_FIRST =
      Comparator.comparing((Occurrence o) -> o.event().priority())
          .thenComparing(o -> o.event().timeInHandMinutes().orElse(Double.MAX_VALUE))
          .thenComparing(o -> o.event().since())
          .thenComparing(Occurrence::key);

  private final CallingPlan plan;
  private final Instant at;
  private final Duration ahead;
  private final Instant now;
  private final Map<String, Occurrence> alarms;
  private final Set<String> driving;
  private final List<Waiting> waiting;
  private final Outbox outbox;
  private final Escalation escalation;
  private Optional<Instant> nextTest;

  Turn(CallingPlan plan, CallingState state, Instant at) {
    this.plan = plan;
    this.at = at;
    Instant before = state.at().plus(state.ahead());
    // A wall clock that was put back must not keep anybody waiting.
    this.ahead =
        at.plus(state.ahead()).isBefore(before) ? Duration.between(at, before) : state.ahead();
    this.now = at.plus(ahead);
    this.alarms = new LinkedHashMap<>(state.alarms());
    this.driving = new HashSet<>(state.driving());
    this.waiting = new ArrayList<>(state.waiting());
    this.outbox = new Outbox(state, at, now, driving);
    this.escalation = new Escalation(plan, at, driving);
    this.nextTest = state.nextTest();
  }

  void take(List<News> news) {
    for (News item : news) {
      if (item instanceof News.Happened happened) {
        happened(happened.event(), false);
      } else if (item instanceof News.Standing standing) {
        standing(standing.alarms());
      } else if (item instanceof News.Result result) {
        result(result);
      } else if (item instanceof News.Driving wheel) {
        drives(wheel);
      } else if (item instanceof News.TestWanted wanted) {
        plan.person(wanted.person()).ifPresent(p -> test(p, wanted));
      }
    }
  }

  /** What time alone brings. */
  void pass() {
    outbox.unanswered(plan.patience()).forEach(this::anotherWay);
    callings().stream().sorted(WORST_FIRST).forEach(this::stepIfDue);
    tellNotices();
    tellMorning();
    testIfDue();
    for (Person person : plan.people()) {
      tellMore(person);
    }
    outbox.send();
  }

  Calling.Step end() {
    CallingState state =
        new CallingState(
            at,
            ahead,
            alarms,
            outbox.pending(),
            outbox.tallies(),
            outbox.channels(),
            driving,
            waiting,
            nextTest,
            outbox.count());
    return new Calling.Step(state, outbox.made(), outbox.toSend());
  }

  private List<Occurrence> callings() {
    return alarms.values().stream().filter(Occurrence::calling).toList();
  }

  private void drives(News.Driving wheel) {
    if (wheel.driving()) {
      driving.add(wheel.person());
    } else {
      driving.remove(wheel.person());
    }
  }

  // --- alarms

  private void happened(AlarmEvent event, boolean reconciled) {
    String key = Occurrence.key(event);
    if (!reconciled && isOvertaken(event)) {
      return; // told again, of an occurrence that another has followed
    }
    alarms
        .keySet()
        .removeIf(other -> !other.equals(key) && other.startsWith(Occurrence.sameAlarm(event)));
    Occurrence known = alarms.getOrDefault(key, Occurrence.of(event, now));
    if (!reconciled && event.time().isBefore(known.event().time())) {
      return; // told again, after what came later
    }
    boolean urgent = event.priority() == Priority.HIGH;
    if (!event.annunciated()) {
      settled(key, known, event);
    } else if (urgent && !known.calling()) {
      alarms.put(key, known.begun(event, now));
    } else if (urgent) {
      alarms.put(key, known.heard(event, true, known.told()));
    } else {
      boolean anew =
          event.event() == AlarmEvent.Kind.RE_ALARMED && event.time().isAfter(known.event().time());
      alarms.put(key, known.heard(event, false, known.told() && !anew));
      dropUrgent(key); // what was urgent until now need not be tried again
    }
  }

  private boolean isOvertaken(AlarmEvent event) {
    return alarms.values().stream()
        .map(Occurrence::event)
        .anyMatch(e -> e.id().equals(event.id()) && e.since().isAfter(event.since()));
  }

  private void dropUrgent(String key) {
    outbox.drop(p -> p.occurrence().equals(key) && p.call().isUrgent());
  }

  /** Nobody is to be called for it any longer: those who were called are told why. */
  private void settled(String key, Occurrence known, AlarmEvent event) {
    alarms.put(key, known.heard(event, false, known.told()));
    dropUrgent(key);
    if (!known.calling()) {
      return;
    }
    if (event.by().isPresent()) {
      tellThoseCalled(known, event, Kind.TAKEN);
    } else if (Occurrence.hasEnded(event)) {
      tellThoseCalled(known, event, Kind.ENDED);
    }
  }

  private void tellThoseCalled(Occurrence known, AlarmEvent event, Kind kind) {
    String key = known.key();
    for (Person person : plan.people()) {
      boolean hasIt = event.by().map(person.name()::equalsIgnoreCase).orElse(false);
      String message = kind + " " + key + " " + known.episode();
      if (known.called().contains(person.name())
          && !hasIt
          && outbox.admits(person.name(), message, key)) {
        tell(person, kind, key, message, List.of(event), event.by());
      }
    }
  }

  private void standing(List<AlarmEvent> standing) {
    Set<String> keys = new HashSet<>();
    for (AlarmEvent event : standing) {
      String key = Occurrence.key(event);
      keys.add(key);
      Occurrence known = alarms.get(key);
      if (known == null || known.missed(event)) {
        happened(event, true);
      } else if (event.timeInHandMinutes().isPresent()) {
        alarms.put(key, known.withMinutes(event.timeInHandMinutes()));
      }
    }
    for (Occurrence known : List.copyOf(alarms.values())) {
      if (!keys.contains(known.key())) {
        // It did not end, or that would have been told: the watch knows nothing of it any more.
        // That is no good news, so nobody is told that they need not go.
        alarms.remove(known.key());
        dropUrgent(known.key());
      }
    }
  }

  // --- urgent calls

  private void stepIfDue(Occurrence o) {
    OptionalDouble minutes = o.event().timeInHandMinutes();
    boolean due =
        o.step() == 0
            || !now.isBefore(o.stepped().plus(Escalation.wait(o.step(), minutes)))
            || (Escalation.isHurry(minutes) && !o.everybody());
    if (!due) {
      return;
    }
    String key = o.key();
    Set<Target> targets = escalation.targets(o.step(), minutes);
    alarms.put(key, o.stepped(now, targets.containsAll(escalation.everything())));
    targets.forEach(target -> ring(key, target));
  }

  /** Calls for an alarm; beside a channel that is in doubt, tries another way at once. */
  private void ring(String key, Target target) {
    Occurrence o = alarms.get(key);
    if (o == null || !o.calling() || o.tried().contains(target.id())) {
      return;
    }
    alarms.put(key, o.rung(target));
    String message = key + " " + o.episode() + "." + o.step();
    if (outbox.admits(target.person(), message, key)) {
      outbox.make(target, Kind.ALARM, key, message, o.step(), List.of(o.event()), Optional.empty());
    }
    if (outbox.isDoubtful(target)) {
      ringNext(key, target);
    }
  }

  /** The person's other channels first, then the next person. */
  private void ringNext(String key, Target failed) {
    Occurrence o = alarms.get(key);
    if (o == null || !o.calling()) {
      return;
    }
    Set<Target> ways = new LinkedHashSet<>();
    plan.person(failed.person())
        .ifPresent(p -> p.channels().forEach(c -> ways.add(new Target(p.name(), c))));
    ways.addAll(escalation.everything());
    ways.stream()
        .filter(way -> !o.tried().contains(way.id()))
        .findFirst()
        .ifPresent(way -> ring(key, way));
  }

  // --- results

  private void result(News.Result result) {
    outbox
        .result(result, this::isWanted)
        .filter(p -> result.delivery() instanceof Delivery.Failed)
        .ifPresent(this::anotherWay);
  }

  private boolean isWanted(Pending p) {
    if (p.call().kind() != Kind.ALARM) {
      return true;
    }
    Occurrence o = alarms.get(p.occurrence());
    return o != null && o.calling();
  }

  private void anotherWay(Pending p) {
    if (p.call().kind() == Kind.ALARM) {
      ringNext(p.occurrence(), p.target());
    } else if (p.call().kind() != Kind.TEST) {
      plan.person(p.call().person()).ifPresent(person -> byNextChannel(person, p));
    }
  }

  private void byNextChannel(Person person, Pending p) {
    int next = person.channels().indexOf(p.call().channel()) + 1;
    if (next > 0 && next < person.channels().size()) {
      outbox.make(
          new Target(person.name(), person.channels().get(next)),
          p.call().kind(),
          p.occurrence(),
          p.call().key(),
          p.call().number(),
          p.call().about(),
          p.call().by());
    }
  }

  // --- what is not urgent

  private void tellNotices() {
    boolean night = plan.night().contain(at, plan.zone());
    List<Occurrence> untold =
        alarms.values().stream()
            .filter(o -> o.event().annunciated() && !o.calling() && !o.told())
            .sorted(WORST_FIRST)
            .toList();
    for (Occurrence o : untold) {
      String key = o.key();
      alarms.put(key, o.heard(o.event(), false, true));
      if (night) {
        waiting.add(
            new Waiting(
                o.event(),
                new TestTimes(plan.morning(), Optional.empty()).nextAfter(at, plan.zone())));
      } else {
        String message = "notice " + key + " " + o.event().time().toEpochMilli();
        firstToTell()
            .filter(p -> outbox.admits(p.name(), message, key))
            .ifPresent(
                p -> tell(p, Kind.NOTICE, key, message, List.of(o.event()), Optional.empty()));
      }
    }
  }

  private Optional<Person> firstToTell() {
    List<Person> order = escalation.inOrder();
    return order.stream()
        .filter(p -> !driving.contains(p.name()))
        .findFirst()
        .or(() -> order.stream().findFirst());
  }

  private void tellMorning() {
    List<AlarmEvent> due =
        waiting.stream().filter(w -> !w.until().isAfter(at)).map(Waiting::event).toList();
    if (due.isEmpty()) {
      return;
    }
    waiting.removeIf(w -> !w.until().isAfter(at));
    String seed = "morning " + outbox.serial();
    firstToTell().ifPresent(p -> tell(p, Kind.MORNING, "", seed, due, Optional.empty()));
  }

  private void tellMore(Person person) {
    List<AlarmEvent> about =
        outbox.folded(person.name(), this::callsSomebody).stream()
            .flatMap(key -> Optional.ofNullable(alarms.get(key)).stream())
            .sorted(WORST_FIRST)
            .map(Occurrence::event)
            .toList();
    if (!about.isEmpty()) {
      tell(person, Kind.MORE, "", "more " + outbox.serial(), about, Optional.empty());
    }
  }

  private boolean callsSomebody(String key) {
    Occurrence o = alarms.get(key);
    return o != null && o.event().annunciated();
  }

  private void tell(
      Person person,
      Kind kind,
      String occurrence,
      String seed,
      List<AlarmEvent> about,
      Optional<String> by) {
    List<Target> ways = person.channels().stream().map(c -> new Target(person.name(), c)).toList();
    Target way = ways.stream().filter(w -> !outbox.isDoubtful(w)).findFirst().orElse(ways.get(0));
    outbox.make(way, kind, occurrence, seed, 1, about, by);
  }

  // --- tests

  private void testIfDue() {
    if (plan.tests().isEmpty()) {
      nextTest = Optional.empty();
      return;
    }
    TestTimes times = plan.tests().get();
    Instant next = times.nextAfter(at, plan.zone());
    boolean due = nextTest.map(t -> !t.isAfter(at)).orElse(false);
    boolean inTime = nextTest.map(t -> !at.isAfter(t.plus(TEST_TOO_LATE))).orElse(false);
    if (due && inTime) {
      plan.people().forEach(person -> test(person, person.channels(), Optional.empty()));
    }
    // Where the plan was changed, or the clock put back, what was noted is no longer right.
    nextTest = Optional.of(next);
  }

  private void test(Person person, News.TestWanted wanted) {
    List<String> channels =
        person.channels().stream()
            .filter(c -> wanted.channel().isEmpty() || wanted.channel().get().equals(c))
            .toList();
    test(person, channels, Optional.of(wanted.by()));
  }

  private void test(Person person, List<String> channels, Optional<String> by) {
    String seed = "test " + outbox.serial();
    for (String channel : channels) {
      outbox.make(new Target(person.name(), channel), Kind.TEST, "", seed, 1, List.of(), by);
    }
  }
}
