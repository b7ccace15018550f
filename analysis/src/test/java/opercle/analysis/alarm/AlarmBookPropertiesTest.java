// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import net.jqwik.api.Arbitraries;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.Combinators;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.Provide;

/** What must hold of the book whatever happens, in whatever order. */
class AlarmBookPropertiesTest {

  private static final Instant T0 = Instant.parse("2026-03-14T02:00:00Z");

  enum What {
    PRESENT,
    ABSENT,
    ACKNOWLEDGE
  }

  record Step(What what, AlarmCause cause, Priority priority, int seconds) {}

  @Provide
  Arbitrary<List<Step>> steps() {
    return Combinators.combine(
            Arbitraries.of(What.class),
            Arbitraries.of(AlarmCause.OXYGEN_LOW, AlarmCause.PROBE_SILENT),
            Arbitraries.of(Priority.class),
            Arbitraries.integers().between(0, 200))
        .as(Step::new)
        .list()
        .ofMaxSize(80);
  }

  @Property(tries = 400)
  void alarm_raised_standsUntilItIsBothClearedAndAcknowledged(@ForAll("steps") List<Step> steps) {
    AlarmBook book = new AlarmBook("h1");
    Map<AlarmCause, Boolean> cleared = new EnumMap<>(AlarmCause.class);
    Map<AlarmCause, Boolean> acknowledged = new EnumMap<>(AlarmCause.class);
    for (AlarmEvent e : run(book, steps, new ArrayList<>())) {
      switch (e.event()) {
        case RAISED -> {
          cleared.put(e.cause(), false);
          acknowledged.put(e.cause(), false);
        }
        case ESCALATED, RE_ALARMED -> acknowledged.put(e.cause(), false);
        case ACKNOWLEDGED -> acknowledged.put(e.cause(), true);
        case CLEARED -> cleared.put(e.cause(), true);
        default -> {
          // says nothing about standing
        }
      }
    }
    List<AlarmCause> standing = book.standing().stream().map(Alarm::cause).toList();
    cleared.forEach(
        (cause, isCleared) -> {
          boolean owed = !isCleared || !acknowledged.getOrDefault(cause, false);
          assertThat(standing.contains(cause)).as(cause.id()).isEqualTo(owed);
        });
  }

  @Property(tries = 400)
  void condition_present_isAlwaysOnTheListAtLeastAsUrgent(@ForAll("steps") List<Step> steps) {
    AlarmBook book = new AlarmBook("h1");
    Instant now = T0;
    for (Step step : steps) {
      now = now.plusSeconds(step.seconds());
      apply(book, step, now);
      if (step.what() == What.PRESENT) {
        Alarm alarm =
            book.standing().stream()
                .filter(a -> a.cause() == step.cause())
                .findFirst()
                .orElseThrow();
        assertThat(alarm.priority()).isLessThanOrEqualTo(step.priority());
        assertThat(alarm.state()).isNotEqualTo(AlarmState.RETURNED_UNACKNOWLEDGED);
      }
    }
  }

  @Property(tries = 400)
  void alarm_clears_neverTwiceWithinTheOffDelay(@ForAll("steps") List<Step> steps) {
    Map<AlarmCause, Instant> lastCleared = new EnumMap<>(AlarmCause.class);
    for (AlarmEvent e : run(new AlarmBook("h1"), steps, new ArrayList<>())) {
      if (e.event() == AlarmEvent.Kind.CLEARED) {
        Instant before = lastCleared.put(e.cause(), e.time());
        if (before != null) {
          assertThat(Duration.between(before, e.time()))
              .isGreaterThan(AlarmRule.of(e.cause()).offDelay());
        }
      }
    }
  }

  @Property(tries = 200)
  void book_restoredAnywhere_goesOnTheSame(@ForAll("steps") List<Step> steps) {
    AlarmBook through = new AlarmBook("h1");
    AlarmBook restored = new AlarmBook("h1");
    Instant now = T0;
    for (Step step : steps) {
      now = now.plusSeconds(step.seconds());
      AlarmBook next = new AlarmBook("h1");
      next.restore(restored.snapshot(), restored.outOfService());
      restored = next;
      assertThat(apply(restored, step, now)).isEqualTo(apply(through, step, now));
    }
  }

  private static List<AlarmEvent> run(AlarmBook book, List<Step> steps, List<AlarmEvent> events) {
    Instant now = T0;
    for (Step step : steps) {
      now = now.plusSeconds(step.seconds());
      apply(book, step, now).ifPresent(events::add);
    }
    return events;
  }

  private static Optional<AlarmEvent> apply(AlarmBook book, Step step, Instant now) {
    Finding finding =
        new Finding(
            step.cause(),
            step.priority(),
            "gist",
            OptionalDouble.empty(),
            OptionalDouble.empty(),
            "message");
    return switch (step.what()) {
      case PRESENT -> book.present(now, finding);
      case ABSENT -> book.absent(now, step.cause(), () -> finding);
      case ACKNOWLEDGE -> book.acknowledge(now, step.cause(), "Ann");
    };
  }
}
