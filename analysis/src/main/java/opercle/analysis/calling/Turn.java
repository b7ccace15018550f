// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import java.time.Duration;
import java.time.Instant;
import java.util.Collections;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
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

/** One turn of calling: news in, then what is due. One thread, once. */
final class Turn implements MonitorTurn.Teller {

  static final Comparator<Occurrence> WORST_FIRST =
      Comparator.comparing((Occurrence o) -> o.event().priority())
          .thenComparing(o -> o.event().timeInHandMinutes().orElse(Double.MAX_VALUE))
          .thenComparing(o -> o.event().since())
          .thenComparing(Occurrence::key);

  /** A phone that says so renews it; one without a network is not taken to drive for ever. Ours. */
  static final Duration DRIVING_UNTIL_SAID_AGAIN = Duration.ofHours(1);

  private final CallingPlan plan;
  private final Instant at;
  private final Duration ahead;
  private final Instant now;
  private final Map<String, Occurrence> alarms;
  private final Map<String, Instant> atTheWheel;
  private final Notices notices;
  private final Outbox outbox;
  private final Escalation escalation;
  private final Ringer<Occurrence> ringer;
  private final MonitorTurn monitor;
  private final Backlog backlog;
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
    this.atTheWheel = new HashMap<>(state.atTheWheel());
    atTheWheel.values().removeIf(said -> !said.plus(DRIVING_UNTIL_SAID_AGAIN).isAfter(now));
    Set<String> driving = Collections.unmodifiableSet(atTheWheel.keySet());
    this.outbox = new Outbox(state, at, now, driving);
    this.escalation = new Escalation(plan, at, driving);
    this.ringer = new Ringer<>(plan, escalation, outbox, alarms);
    this.notices = new Notices(plan, state, at, alarms, outbox, escalation);
    this.monitor = new MonitorTurn(plan, state.monitor(), now, outbox, escalation, this);
    this.backlog = new Backlog(alarms, monitor, outbox);
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
        atTheWheel.keySet().removeIf(name -> plan.person(name).isEmpty());
      }
    }
  }

  /** What time alone brings. */
  void pass() {
    outbox.unanswered(plan.patience()).forEach(this::anotherWay);
    callings().stream().sorted(WORST_FIRST).forEach(this::stepIfDue);
    monitor.pass();
    outbox.waiting(p -> p.call().kind() == Kind.NOTICE && !isWanted(p)).forEach(this::notTold);
    outbox.drop(p -> !isWanted(p)); // whatever was overtaken while it waited
    notices.holdForTheMorning();
    notices.tell(monitor::stands);
    nextTest = tests.ifDue(nextTest);
    plan.people().forEach(backlog::tell);
    outbox.send(
        p ->
            (p.call().isStep() && monitor.isPaused(p.occurrence()))
                || outbox.isBeingTold(p, plan.patience()),
        this::asOfNow);
  }

  /** A call that was made a while ago and is only now handed out tells what is so now. */
  private Call asOfNow(Call call) {
    return call.asOfNow(aboutNow(call), atTheWheel.containsKey(call.person()));
  }

  private List<AlarmEvent> aboutNow(Call call) {
    Occurrence alarm = alarms.get(call.occurrence());
    return switch (call.kind()) {
      case ALARM -> alarm != null ? alarm.about().alarms() : call.about();
      case MORE ->
          call.about().stream()
              .map(Occurrence::key)
              .filter(backlog::callsSomebody)
              .flatMap(key -> Optional.ofNullable(alarms.get(key)).stream())
              .sorted(WORST_FIRST)
              .flatMap(calls -> calls.about().alarms().stream())
              .distinct()
              .toList();
      default -> call.about();
    };
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
            atTheWheel,
            notices.waiting().alarms(),
            notices.waiting().troubles(),
            nextTest,
            outbox.count(),
            outbox.handed(key -> alarms.containsKey(key) || monitor.causes().containsKey(key)));
    return new Calling.Step(state, outbox.made(), outbox.toSend());
  }

  private List<Occurrence> callings() {
    return alarms.values().stream().filter(Occurrence::calling).toList();
  }

  private void drives(News.Driving wheel) {
    if (wheel.driving()) {
      atTheWheel.put(wheel.person(), now);
    } else {
      atTheWheel.remove(wheel.person());
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
    // Less urgent by now, it may no longer call; those who were called wait for news all the same.
    boolean isNews = known.calling() || (known.event().annunciated() && !known.called().isEmpty());
    if (!isNews) {
      return;
    }
    if (event.by().isPresent()) {
      tellThoseCalled(known, event, Kind.TAKEN);
    } else if (Occurrence.hasEnded(event)) {
      tellThoseCalled(known, event, Kind.ENDED);
    }
  }

  private void tellThoseCalled(Occurrence known, AlarmEvent event, Kind kind) {
    tellThoseCalled(
        known.called(),
        kind,
        known.key(),
        Backlog.settledMessage(kind, known, event),
        Backlog.settled(event));
  }

  private void tellThoseCalled(
      Set<String> called, Kind kind, String key, String message, About about) {
    for (Person person : plan.people()) {
      boolean hasIt =
          kind == Kind.TAKEN && about.by().map(person.name()::equalsIgnoreCase).orElse(false);
      if (called.contains(person.name()) && !hasIt && outbox.admits(person.name(), message, key)) {
        outbox.tell(person, kind, key, message, about);
        outbox.unfold(person.name(), key);
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
      } else {
        alarms.put(key, known.asItStands(event));
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
    Optional<Pending> found = outbox.result(result, this::isWanted);
    if (result.delivery() instanceof Delivery.Failed) {
      found.ifPresent(this::anotherWay);
    } else {
      found.map(Pending::call).filter(call -> !call.isStep()).ifPresent(outbox::dropSameAs);
    }
  }

  private boolean isWanted(Pending p) {
    Call call = p.call();
    return switch (call.kind()) {
      case ALARM, MONITOR -> isCalling(p.occurrence());
      case MORE ->
          call.about().stream().anyMatch(a -> backlog.callsSomebody(Occurrence.key(a)))
              || call.troubles().stream().anyMatch(t -> monitor.calls(t.key()));
      case TAKEN, ENDED -> !callsAgain(call);
      case NOTICE -> isStillNews(call);
      case MORNING, TEST -> true;
    };
  }

  /** A notice that could not be given in time is not given once it is over, or somebody has it. */
  private boolean isStillNews(Call call) {
    return call.about().stream()
            .map(Occurrence::key)
            .anyMatch(key -> alarms.containsKey(key) && alarms.get(key).event().annunciated())
        || call.troubles().stream().anyMatch(t -> monitor.isNotOver(t.key()));
  }

  /** Put aside before any way took it, it is news when it is back. */
  private void notTold(Call call) {
    for (AlarmEvent event : call.about()) {
      alarms.computeIfPresent(
          Occurrence.key(event), (key, o) -> o.heard(o.event(), o.calling(), false));
    }
  }

  /** Whether calling has begun again since: then nobody is told that they need not go. */
  private boolean callsAgain(Call call) {
    return monitor.callsAgain(call.occurrence())
        || call.about().stream()
            .map(Occurrence::sameAlarm)
            .anyMatch(
                same ->
                    alarms.values().stream()
                        .anyMatch(o -> o.calling() && o.key().startsWith(same)));
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
    } else if (!goesByEveryWay(p.call())) {
      plan.person(p.call().person())
          .flatMap(person -> nextWay(person, p))
          .ifPresent(way -> by(way, p));
    }
  }

  /** Tests try each way, and what is told together goes by all of a person's ways at once. */
  private static boolean goesByEveryWay(Call call) {
    return call.kind() == Kind.TEST || call.kind() == Kind.MORE;
  }

  private void by(Target way, Pending p) {
    outbox.make(
        way,
        p.call().kind(),
        p.occurrence(),
        p.call().key(),
        p.call().number(),
        About.of(p.call()));
  }

  /**
   * The person's next channel; after the last one, for what anybody may be told, the next person.
   */
  private Optional<Target> nextWay(Person person, Pending p) {
    int next = person.channels().indexOf(p.call().channel()) + 1;
    if (next > 0 && next < person.channels().size()) {
      return Optional.of(new Target(person.name(), person.channels().get(next)));
    }
    boolean isForAnybody = p.call().kind() == Kind.NOTICE || p.call().kind() == Kind.MORNING;
    return isForAnybody ? wayToNextPerson(person, p) : Optional.empty();
  }

  private Optional<Target> wayToNextPerson(Person unreached, Pending p) {
    return escalation.toTellOnce().stream()
        .dropWhile(other -> !other.equals(unreached))
        .skip(1)
        .filter(other -> outbox.admits(other.name(), p.call().key(), p.occurrence()))
        .findFirst()
        .map(outbox::firstWay);
  }

  // --- the monitor itself

  @Override
  public void toThoseCalled(Kind kind, MonitorCause cause) {
    String message = kind + " " + cause.key() + " " + cause.episode();
    tellThoseCalled(cause.called(), kind, cause.key(), message, cause.about());
  }

  @Override
  public void once(List<MonitorCause> causes, boolean inTheMorning) {
    notices.once(causes, inTheMorning);
  }
}
