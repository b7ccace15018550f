// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.stream.Collectors;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.Priority;
import opercle.analysis.calling.Call.Kind;
import opercle.analysis.calling.CallingState.Occurrence;
import opercle.analysis.calling.CallingState.Pending;
import opercle.analysis.calling.CallingState.Waiting;
import opercle.analysis.calling.CallingState.WaitingTrouble;
import opercle.analysis.monitor.MonitorTrouble;

/** One turn of calling: news in, then what is due. One thread, once. */
final class Turn implements MonitorTurn.Teller {

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
  private final List<WaitingTrouble> waitingTroubles;
  private final Outbox outbox;
  private final Escalation escalation;
  private final Ringer<Occurrence> ringer;
  private final MonitorTurn monitor;
  private final TestTurn tests;
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
    this.waitingTroubles = new ArrayList<>(state.waitingTroubles());
    this.outbox = new Outbox(state, at, now, driving);
    this.escalation = new Escalation(plan, at, driving);
    this.ringer = new Ringer<>(plan, escalation, outbox, alarms);
    this.monitor = new MonitorTurn(plan, state.monitor(), now, outbox, escalation, this);
    this.tests = new TestTurn(plan, at, outbox);
    this.nextTest = state.nextTest();
  }

  void take(List<News> news) {
    for (News item : news) {
      if (item instanceof News.Happened happened) {
        happened(happened.event(), false);
      } else if (item instanceof News.Standing standing) {
        standing(standing.alarms());
      } else if (item instanceof News.Troubles troubles) {
        monitor.standing(troubles);
      } else if (item instanceof News.Had had) {
        monitor.had(had);
      } else if (item instanceof News.Result result) {
        result(result);
      } else if (item instanceof News.Driving wheel) {
        drives(wheel);
      } else if (item instanceof News.TestWanted wanted) {
        tests.wanted(wanted);
      } else if (item instanceof News.Changed changed) {
        outbox.forget(changed.ways());
        driving.removeIf(name -> plan.person(name).isEmpty());
      }
    }
  }

  /** What time alone brings. */
  void pass() {
    outbox.unanswered(plan.patience()).forEach(this::anotherWay);
    callings().stream().sorted(WORST_FIRST).forEach(this::stepIfDue);
    monitor.pass();
    tellNotices();
    tellMorning();
    nextTest = tests.ifDue(nextTest);
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
            monitor.causes(),
            outbox.pending(),
            outbox.tallies(),
            outbox.channels(),
            driving,
            waiting,
            waitingTroubles,
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
    String message = kind + " " + known.key() + " " + known.episode();
    About about = About.alarms(List.of(event)).by(event.by());
    tellThoseCalled(known.called(), kind, known.key(), message, about);
  }

  private void tellThoseCalled(
      Set<String> called, Kind kind, String key, String message, About about) {
    for (Person person : plan.people()) {
      boolean hasIt =
          kind == Kind.TAKEN && about.by().map(person.name()::equalsIgnoreCase).orElse(false);
      if (called.contains(person.name()) && !hasIt && outbox.admits(person.name(), message, key)) {
        tell(person, kind, key, message, about);
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
    if (!due || escalation.isNobodyThere()) {
      return;
    }
    String key = o.key();
    Set<Target> targets = escalation.targets(o.step(), minutes);
    alarms.put(key, o.stepped(now, targets.containsAll(escalation.everything())));
    targets.forEach(target -> ringer.ring(key, target));
  }

  // --- results

  private void result(News.Result result) {
    outbox
        .result(result, this::isWanted)
        .filter(p -> result.delivery() instanceof Delivery.Failed)
        .ifPresent(this::anotherWay);
  }

  private boolean isWanted(Pending p) {
    return !p.call().isStep() || isCalling(p.occurrence());
  }

  private boolean isCalling(String key) {
    Occurrence o = alarms.get(key);
    return (o != null && o.calling()) || monitor.calls(key);
  }

  private void anotherWay(Pending p) {
    if (p.call().kind() == Kind.ALARM) {
      ringer.ringNext(p.occurrence(), p.target());
    } else if (p.call().kind() == Kind.MONITOR) {
      monitor.anotherWay(p);
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
          new About(p.call().about(), p.call().troubles(), p.call().by()));
    }
  }

  // --- what is not urgent

  private void tellNotices() {
    if (escalation.isNobodyThere()) {
      return; // told to whoever is named while it still stands
    }
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
        waiting.add(new Waiting(o.event(), nextMorning()));
      } else {
        String message = "notice " + key + " " + o.event().time().toEpochMilli();
        firstToTell()
            .filter(p -> outbox.admits(p.name(), message, key))
            .ifPresent(p -> tell(p, Kind.NOTICE, key, message, About.alarms(List.of(o.event()))));
      }
    }
  }

  private Instant nextMorning() {
    return new TestTimes(plan.morning(), Optional.empty()).nextAfter(at, plan.zone());
  }

  private Optional<Person> firstToTell() {
    List<Person> order = escalation.inOrder();
    return order.stream()
        .filter(p -> !driving.contains(p.name()))
        .findFirst()
        .or(() -> order.stream().findFirst());
  }

  private void tellMorning() {
    About due =
        new About(
            waiting.stream().filter(w -> !w.until().isAfter(at)).map(Waiting::event).toList(),
            waitingTroubles.stream()
                .filter(w -> !w.until().isAfter(at))
                .map(WaitingTrouble::trouble)
                .toList(),
            Optional.empty());
    if (due.isEmpty()) {
      return;
    }
    waiting.removeIf(w -> !w.until().isAfter(at));
    waitingTroubles.removeIf(w -> !w.until().isAfter(at));
    String seed = "morning " + outbox.serial();
    firstToTell().ifPresent(p -> tell(p, Kind.MORNING, "", seed, due));
  }

  private void tellMore(Person person) {
    List<String> folded = outbox.folded(person.name(), this::callsSomebody);
    List<AlarmEvent> worst =
        folded.stream()
            .flatMap(key -> Optional.ofNullable(alarms.get(key)).stream())
            .sorted(WORST_FIRST)
            .map(Occurrence::event)
            .toList();
    List<MonitorTrouble> troubles =
        folded.stream().flatMap(key -> monitor.troubles(key).stream()).toList();
    About about = new About(worst, troubles, Optional.empty());
    if (!about.isEmpty()) {
      tell(person, Kind.MORE, "", "more " + outbox.serial(), about);
    }
  }

  private boolean callsSomebody(String key) {
    Occurrence o = alarms.get(key);
    return (o != null && o.event().annunciated()) || monitor.calls(key);
  }

  private void tell(Person person, Kind kind, String occurrence, String seed, About about) {
    List<Target> ways = person.channels().stream().map(c -> new Target(person.name(), c)).toList();
    Target way = ways.stream().filter(w -> !outbox.isDoubtful(w)).findFirst().orElse(ways.get(0));
    outbox.make(way, kind, occurrence, seed, 1, about);
  }

  // --- the monitor itself

  @Override
  public void toThoseCalled(Kind kind, MonitorCause cause) {
    String message = kind + " " + cause.key() + " " + cause.episode();
    tellThoseCalled(cause.called(), kind, cause.key(), message, cause.about());
  }

  @Override
  public void once(List<MonitorCause> causes, boolean inTheMorning) {
    if (causes.isEmpty()) {
      return;
    }
    List<MonitorTrouble> troubles = causes.stream().flatMap(c -> c.troubles().stream()).toList();
    String message =
        "notice " + causes.stream().map(MonitorCause::key).collect(Collectors.joining(" "));
    Optional<Person> now =
        firstToTell()
            .filter(p -> !inTheMorning && !plan.night().contain(at, plan.zone()))
            .filter(p -> outbox.admits(p.name(), message, causes.get(0).key()));
    if (now.isPresent()) {
      tell(now.get(), Kind.NOTICE, "", message, About.troubles(troubles));
    } else {
      troubles.forEach(t -> waitingTroubles.add(new WaitingTrouble(t, nextMorning())));
    }
  }
}
