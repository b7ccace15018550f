// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.function.Function;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;

/** Drives {@link Calling} second by second, with channels that work, fail or hang. */
final class Night {

  static final ZoneId LONDON = ZoneId.of("Europe/London");
  static final Instant TWO_IN_THE_MORNING = Instant.parse("2026-03-14T02:00:00Z");
  static final List<Person> THREE =
      List.of(
          new Person("Maren", List.of("push", "mail"), Optional.empty()),
          new Person("Tomas", List.of("mail", "webhook"), Optional.empty()),
          new Person("Ines", List.of("mail"), Optional.empty()));

  /** How a channel behaves; null: it never answers. */
  static final Function<Call, Optional<Delivery>> WORKS =
      call -> Optional.of(new Delivery.Accepted("250"));

  static final Function<Call, Optional<Delivery>> FAILS =
      call -> Optional.of(Delivery.failed("connection refused"));

  static final Function<Call, Optional<Delivery>> HANGS = call -> Optional.empty();

  /** A call that a channel took, and when. */
  record Told(Instant at, Call call) {}

  private Calling calling;
  final List<Told> told = new ArrayList<>();
  final List<Told> tried = new ArrayList<>();
  final List<Call> made = new ArrayList<>();
  Function<Target, Function<Call, Optional<Delivery>>> channels = target -> WORKS;
  CallingState state;
  Instant now;

  Night(CallingPlan plan, Instant start) {
    calling = new Calling(plan);
    state = CallingState.start(start);
    now = start;
    advance(List.of());
  }

  static CallingPlan plan(List<Person> people) {
    return new CallingPlan(
        people,
        LONDON,
        CallingPlan.USUAL_NIGHT,
        CallingPlan.USUAL_MORNING,
        CallingPlan.USUAL_PATIENCE,
        Optional.empty());
  }

  static Night of(List<Person> people) {
    return new Night(plan(people), TWO_IN_THE_MORNING);
  }

  static Night ofThree() {
    return of(THREE);
  }

  /** Other people are called from now on; these ways lead elsewhere than before. */
  void become(List<Person> people, Target... changed) {
    calling = new Calling(plan(people));
    hear(new News.Changed(Set.of(changed)));
  }

  void dead(Set<Target> dead, Function<Call, Optional<Delivery>> how) {
    channels = target -> dead.contains(target) ? how : WORKS;
  }

  void hear(News... news) {
    advance(List.of(news));
  }

  void pass(Duration time) {
    for (long s = 0; s < time.toSeconds(); s++) {
      now = now.plusSeconds(1);
      advance(List.of());
    }
  }

  /** The process is killed and comes back after a while. */
  void restart(Duration away) {
    now = now.plus(away);
    state = state.resumed(now);
    advance(List.of());
  }

  private void advance(List<News> news) {
    Calling.Step step = calling.advance(state, now, news);
    state = step.state();
    made.addAll(step.made());
    List<News> results = new ArrayList<>();
    for (Call call : step.toSend()) {
      tried.add(new Told(now, call));
      channels
          .apply(new Target(call.person(), call.channel()))
          .apply(call)
          .ifPresent(
              delivery -> {
                if (delivery instanceof Delivery.Accepted) {
                  told.add(new Told(now, call));
                }
                results.add(new News.Result(call.key(), delivery));
              });
    }
    if (!results.isEmpty()) {
      advance(results);
    }
  }

  List<String> toldNames() {
    return told.stream().map(t -> t.call().person()).distinct().toList();
  }

  List<Call.Kind> kindsTo(String person) {
    return told.stream()
        .map(Told::call)
        .filter(c -> c.person().equals(person))
        .map(Call::kind)
        .toList();
  }

  AlarmEvent raised(String tank, Priority priority, double minutes) {
    return event(
        tank,
        AlarmEvent.Kind.RAISED,
        priority,
        AlarmState.UNACKNOWLEDGED,
        OptionalDouble.of(minutes),
        now,
        Optional.empty());
  }

  AlarmEvent high(String tank, double minutes) {
    return raised(tank, Priority.HIGH, minutes);
  }

  AlarmEvent after(AlarmEvent raised, AlarmEvent.Kind kind, AlarmState state, Optional<String> by) {
    return event(
        raised.tank(),
        kind,
        raised.priority(),
        state,
        raised.timeInHandMinutes(),
        raised.since(),
        by);
  }

  AlarmEvent acknowledged(AlarmEvent raised, String by) {
    return after(raised, AlarmEvent.Kind.ACKNOWLEDGED, AlarmState.ACKNOWLEDGED, Optional.of(by));
  }

  private AlarmEvent event(
      String tank,
      AlarmEvent.Kind kind,
      Priority priority,
      AlarmState state,
      OptionalDouble minutes,
      Instant since,
      Optional<String> by) {
    return new AlarmEvent(
        now,
        tank,
        AlarmCause.GAS_LINE_STOPPED,
        kind,
        priority,
        state,
        minutes,
        OptionalDouble.of(8.6),
        tank + ": gas has stopped.",
        since,
        state.callsSomebody(),
        by,
        Optional.empty(),
        Optional.empty(),
        List.of());
  }

  /** The same alarm as it stands a while later: other minutes, other words, nothing happened. */
  static AlarmEvent now(AlarmEvent raised, OptionalDouble minutes) {
    return new AlarmEvent(
        raised.since(),
        raised.tank(),
        raised.cause(),
        AlarmEvent.Kind.RAISED,
        raised.priority(),
        raised.state(),
        minutes,
        OptionalDouble.of(7.2),
        words(raised, minutes),
        raised.since(),
        raised.annunciated(),
        raised.by(),
        Optional.empty(),
        Optional.empty(),
        raised.tanks());
  }

  private static String words(AlarmEvent raised, OptionalDouble minutes) {
    return raised.tank()
        + ": gas has stopped."
        + (minutes.isPresent() ? " About %.0f min in hand.".formatted(minutes.getAsDouble()) : "");
  }

  static Duration seconds(long seconds) {
    return Duration.ofSeconds(seconds);
  }
}
