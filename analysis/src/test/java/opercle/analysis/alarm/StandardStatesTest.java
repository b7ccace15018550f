// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatExceptionOfType;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
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

/**
 * The book against the standards' table of states and transitions (ISA-18.2 / IEC 62682, letters
 * from the alarm rationale, section 2), written here as data, under random sequences of everything
 * that can happen.
 */
class StandardStatesTest {

  private static final Instant T0 = Instant.parse("2026-03-14T02:00:00Z");
  private static final Duration SHELF = Duration.ofMinutes(30);
  private static final Duration OUT = Duration.ofMinutes(45);
  private static final Duration LOWER_AFTER = Duration.ofMinutes(5);
  private static final double GIVEN_IF_UNKNOWN = 15.0;
  private static final double LONG = 120.0;
  private static final AlarmId ROOT = new AlarmId("h2", AlarmCause.GAS_LINE_STOPPED);

  /** What can happen, besides passing time. */
  enum What {
    CONDITION,
    URGENT_CONDITION,
    SPOKEN_FOR,
    CLEARS,
    ACK,
    SILENCE,
    RESET,
    SHELVE,
    UNSHELVE,
    OUT_OF_SERVICE,
    RETURN,
    TIME
  }

  /**
   * What happens.
   *
   * @param minutes so long after what came before
   * @param inHand the time in hand then, minutes; NaN where it is not known
   */
  record Step(What what, int minutes, double inHand) {}

  /** The table's rows for A to E: from, what happens, to; where it latches, and where not. */
  record Move(AlarmState from, What what) {}

  private static final Map<Move, AlarmState> LEVEL =
      Map.of(
          new Move(AlarmState.NORMAL, What.CONDITION), AlarmState.UNACKNOWLEDGED,
          new Move(AlarmState.UNACKNOWLEDGED, What.ACK), AlarmState.ACKNOWLEDGED,
          new Move(AlarmState.UNACKNOWLEDGED, What.CLEARS), AlarmState.RETURNED_UNACKNOWLEDGED,
          new Move(AlarmState.ACKNOWLEDGED, What.CLEARS), AlarmState.NORMAL,
          new Move(AlarmState.RETURNED_UNACKNOWLEDGED, What.ACK), AlarmState.NORMAL,
          new Move(AlarmState.RETURNED_UNACKNOWLEDGED, What.CONDITION), AlarmState.UNACKNOWLEDGED);

  private static final Map<Move, AlarmState> LATCHING =
      Map.of(
          new Move(AlarmState.NORMAL, What.CONDITION), AlarmState.UNACKNOWLEDGED,
          new Move(AlarmState.UNACKNOWLEDGED, What.ACK), AlarmState.ACKNOWLEDGED,
          new Move(AlarmState.UNACKNOWLEDGED, What.CLEARS), AlarmState.LATCHED_UNACKNOWLEDGED,
          new Move(AlarmState.ACKNOWLEDGED, What.CLEARS), AlarmState.LATCHED_ACKNOWLEDGED,
          new Move(AlarmState.LATCHED_UNACKNOWLEDGED, What.ACK), AlarmState.LATCHED_ACKNOWLEDGED,
          new Move(AlarmState.LATCHED_UNACKNOWLEDGED, What.RESET), AlarmState.NORMAL,
          new Move(AlarmState.LATCHED_ACKNOWLEDGED, What.RESET), AlarmState.NORMAL,
          new Move(AlarmState.LATCHED_UNACKNOWLEDGED, What.CONDITION), AlarmState.UNACKNOWLEDGED,
          new Move(AlarmState.LATCHED_ACKNOWLEDGED, What.CONDITION), AlarmState.UNACKNOWLEDGED);

  @Provide
  Arbitrary<List<Step>> steps() {
    return Combinators.combine(
            Arbitraries.of(What.class),
            Arbitraries.integers().between(0, 20),
            Arbitraries.of(Double.NaN, 0.0, 2.0, 5.0, 12.0, 30.0, 61.0, 200.0))
        .as(Step::new)
        .list()
        .ofMaxSize(60);
  }

  @Property(tries = 1000)
  void level_isInTheTablesState_whateverHappens(@ForAll("steps") List<Step> steps) {
    new Run(AlarmCause.OXYGEN_LOW, LEVEL).follow(steps);
  }

  @Property(tries = 1000)
  void lostSupply_isInTheTablesState_whateverHappens(@ForAll("steps") List<Step> steps) {
    new Run(AlarmCause.GAS_LINE_STOPPED, LATCHING).follow(steps);
  }

  /** The book, a second one that is saved and restored at every step, and the table beside them. */
  private static final class Run {
    private final AlarmCause cause;
    private final Map<Move, AlarmState> table;
    private final AlarmBook book = new AlarmBook("h1");
    private AlarmBook restored = new AlarmBook("h1");
    private Instant now = T0;
    private AlarmState beneath = AlarmState.NORMAL;
    private boolean present;
    private boolean spokenFor;
    private Optional<Instant> shelfEnds = Optional.empty();
    private Optional<Instant> outEnds = Optional.empty();
    private Optional<Instant> lessUrgentSince = Optional.empty();
    private double inHand = Double.NaN;
    private double known = Double.NaN;
    private Instant given = T0;
    private double givenInHand = Double.NaN;
    private Instant silencedAt = T0;
    private Instant lastNews = T0;

    Run(AlarmCause cause, Map<Move, AlarmState> table) {
      this.cause = cause;
      this.table = table;
    }

    void follow(List<Step> steps) {
      for (Step step : steps) {
        passTo(now.plus(Duration.ofMinutes(step.minutes())));
        inHand = step.inHand();
        happens(step.what());
        check(step);
      }
    }

    private void happens(What what) {
      switch (what) {
        case CONDITION -> present(Priority.MEDIUM, Optional.empty());
        case URGENT_CONDITION -> present(Priority.HIGH, Optional.empty());
        case SPOKEN_FOR -> present(Priority.MEDIUM, Optional.of(ROOT));
        case CLEARS -> {
          both(b -> b.absent(now, cause, () -> finding(Priority.MEDIUM)));
          passTo(now.plus(AlarmRule.of(cause).offDelay()));
          both(b -> b.absent(now, cause, () -> finding(Priority.MEDIUM)));
          if (present) {
            lessUrgentSince = Optional.empty();
          }
          if (present && spokenFor) {
            beneath = AlarmState.NORMAL; // the other one speaks for it
          } else {
            move(what);
          }
          present = false;
          spokenFor = false;
        }
        case ACK -> {
          both(b -> b.acknowledge(now, cause, "Ann"));
          if (shelfEnds.isEmpty() && outEnds.isEmpty()) {
            if (beneath == AlarmState.UNACKNOWLEDGED) {
              given = now;
              givenInHand = known;
            }
            move(what);
          }
        }
        case SILENCE -> {
          both(b -> b.silence(now, cause, "Ann"));
          silencedAt = shown() == AlarmState.UNACKNOWLEDGED ? now : silencedAt;
        }
        case RESET -> reset();
        case SHELVE -> {
          both(b -> b.shelve(now, cause, "Ann", SHELF));
          if (shown() != AlarmState.NORMAL) {
            shelfEnds = Optional.of(now.plus(SHELF));
          }
        }
        case UNSHELVE -> {
          both(b -> b.unshelve(now, cause, "Ann"));
          if (shelfEnds.isPresent()) {
            unshelved();
          }
        }
        case OUT_OF_SERVICE -> {
          var order = new OutOfService(Optional.empty(), "new hose", "Ann", now, now.plus(OUT));
          both(b -> b.takeOutOfService(order));
          outEnds = Optional.of(order.until());
        }
        case RETURN -> {
          both(b -> b.returnToService(now, Optional.empty(), "Ann"));
          if (outEnds.isPresent()) {
            returned();
          }
        }
        case TIME -> {
          // has passed already
        }
      }
    }

    /**
     * Up to the table come G, and what makes B of C: a higher priority at once, and, of one that is
     * high and that somebody has, being no better after the time given: a third of the time in
     * hand, 15 min where that is not known. After a minute it is enough that half of the time in
     * hand has gone. A lower priority counts after five minutes.
     */
    private void present(Priority priority, Optional<AlarmId> root) {
      Priority held =
          book.entry(cause).map(e -> e.finding().priority()).orElse(priority); // the book's affair
      Instant newsBefore = lastNews;
      both(b -> b.present(now, finding(priority), root, List.of(), Optional.empty()));
      boolean more = priority.compareTo(held) < 0;
      boolean wasRooted = spokenFor;
      spokenFor = root.isPresent();
      if (!present) {
        shelfEnds = more || isShorterThanTheShelf() ? Optional.empty() : shelfEnds;
        lessUrgentSince = Optional.empty();
        move(What.CONDITION);
      } else if (more) {
        shelfEnds = Optional.empty();
        lessUrgentSince = Optional.empty();
        beneath = AlarmState.UNACKNOWLEDGED;
      } else {
        lessUrgentSince =
            priority == held ? Optional.empty() : Optional.of(lessUrgentSince.orElse(now));
        boolean lower = lessUrgentSince.filter(s -> !now.isBefore(s.plus(LOWER_AFTER))).isPresent();
        boolean watched =
            beneath == AlarmState.ACKNOWLEDGED
                && wasRooted == spokenFor
                && !spokenFor
                && shelfEnds.isEmpty();
        if (isShorterThanTheShelf()) {
          shelfEnds = Optional.empty();
          beneath = AlarmState.UNACKNOWLEDGED;
        }
        double minutes = Duration.between(given, now).toSeconds() / 60.0;
        boolean over = minutes >= timeGiven();
        if (watched
            && ((minutes >= 1.0 && isWorse()) || (over && isUrgent(held, lower) && !isBetter()))) {
          beneath = AlarmState.UNACKNOWLEDGED;
        } else if (watched && over) {
          given = now;
          givenInHand = inHand;
        }
        Priority told = book.entry(cause).orElseThrow().finding().priority();
        boolean mustBeLower = lower && !now.isBefore(newsBefore.plusSeconds(60));
        assertThat(told)
            .isIn(
                mustBeLower ? List.of(priority) : lower ? List.of(held, priority) : List.of(held));
        lessUrgentSince = told == priority ? Optional.empty() : lessUrgentSince;
      }
      present = true;
      known = inHand;
      assertThat(book.entry(cause).orElseThrow().finding().priority())
          .as("never told as less urgent than it is")
          .isLessThanOrEqualTo(priority);
    }

    /** Nobody put aside fish that die before it comes back. */
    private boolean isShorterThanTheShelf() {
      return shelfEnds
          .filter(end -> inHand < Duration.between(now, end).toSeconds() / 60.0)
          .isPresent();
    }

    private double timeGiven() {
      return Double.isNaN(givenInHand)
          ? GIVEN_IF_UNKNOWN
          : Math.max(2.0, Math.min(30.0, givenInHand / 3.0));
    }

    private boolean isWorse() {
      double before = Double.isNaN(givenInHand) ? LONG : givenInHand;
      return inHand < before && 2.0 * inHand <= before;
    }

    private boolean isBetter() {
      return !Double.isNaN(givenInHand) && (Double.isNaN(inHand) || inHand > givenInHand);
    }

    private static boolean isUrgent(Priority held, boolean lower) {
      return held == Priority.HIGH && !lower;
    }

    private void reset() {
      boolean latched = table.containsKey(new Move(beneath, What.RESET));
      if (latched || shown() == AlarmState.NORMAL) {
        both(b -> b.reset(now, cause, "Ann"));
        if (latched) {
          shelfEnds = Optional.empty();
          move(What.RESET);
        }
      } else {
        assertThatExceptionOfType(RefusedActException.class)
            .isThrownBy(() -> book.reset(now, cause, "Ann"));
      }
    }

    private void passTo(Instant then) {
      while (now.isBefore(then)) {
        now = now.plusSeconds(60);
        both(b -> b.pass(now));
        if (shelfEnds.filter(end -> !now.isBefore(end)).isPresent()) {
          unshelved();
        }
        if (outEnds.filter(end -> !now.isBefore(end)).isPresent()) {
          returned();
        }
      }
    }

    private void unshelved() {
      shelfEnds = Optional.empty();
      byCondition();
    }

    private void returned() {
      outEnds = Optional.empty();
      byCondition();
    }

    /** F and H leave to the state by the current condition; what has latched stays latched. */
    private void byCondition() {
      beneath =
          present
              ? AlarmState.UNACKNOWLEDGED
              : beneath.isLatched() ? AlarmState.LATCHED_UNACKNOWLEDGED : AlarmState.NORMAL;
    }

    private void move(What what) {
      beneath = table.getOrDefault(new Move(beneath, what), beneath);
    }

    private AlarmState shown() {
      if (outEnds.isPresent() && beneath != AlarmState.NORMAL) {
        return AlarmState.OUT_OF_SERVICE;
      }
      if (shelfEnds.isPresent()) {
        return AlarmState.SHELVED;
      }
      return spokenFor ? AlarmState.SUPPRESSED : beneath;
    }

    private <T> void both(java.util.function.Function<AlarmBook, T> act) {
      AlarmBook next = new AlarmBook("h1");
      next.restore(restored.snapshot(), restored.outOfService());
      restored = next;
      T told = act.apply(book);
      assertThat(act.apply(restored)).isEqualTo(told);
      boolean news =
          told instanceof Optional<?> one
              ? one.isPresent()
              : told instanceof List<?> many && !many.isEmpty();
      lastNews = news ? now : lastNews;
    }

    private void check(Step step) {
      List<Alarm> standing = book.standing();
      AlarmState state = standing.isEmpty() ? AlarmState.NORMAL : standing.get(0).state();
      assertThat(state).as("%s at %s", step, now).isEqualTo(shown());
      assertThat(restored.standing()).isEqualTo(standing);
      assertThat(restored.snapshot()).isEqualTo(book.snapshot());
      if (present) {
        assertThat(standing).as("what is the matter stands").hasSize(1);
      }
      for (Alarm alarm : standing) {
        assertThat(alarm.annunciated()).isEqualTo(state == AlarmState.UNACKNOWLEDGED);
        boolean silenced = book.entry(cause).flatMap(AlarmEntry::silence).isPresent();
        if (step.what() == What.SILENCE && state == AlarmState.UNACKNOWLEDGED) {
          assertThat(silenced).isTrue();
        }
        if (silenced) {
          assertThat(now).as("a silence ends").isBefore(silencedAt.plus(ShelvingRule.SILENCE));
        }
        assertThat(alarm.isSounding())
            .as("sound in %s", state)
            .isEqualTo(state == AlarmState.UNACKNOWLEDGED && !silenced);
        assertThat(alarm.until().isPresent())
            .isEqualTo(state == AlarmState.SHELVED || state == AlarmState.OUT_OF_SERVICE);
      }
    }

    private Finding finding(Priority priority) {
      return new Finding(
          cause,
          priority,
          "gist",
          Double.isNaN(inHand) ? OptionalDouble.empty() : OptionalDouble.of(inHand),
          OptionalDouble.empty(),
          "Holding 1: x.");
    }
  }

  @Property(tries = 300)
  void clock_leapingEitherWay_losesNothingAndRaisesNothing(
      @ForAll("leaps") List<Integer> leapsSeconds) {
    AlarmBook book = new AlarmBook("h1");
    Finding finding =
        new Finding(
            AlarmCause.OXYGEN_LOW,
            Priority.MEDIUM,
            "gist",
            OptionalDouble.empty(),
            OptionalDouble.empty(),
            "Holding 1: x.");
    Instant now = T0;
    List<AlarmEvent> events = new ArrayList<>();
    book.present(now, finding).ifPresent(events::add);
    for (int leap : leapsSeconds) {
      book.absent(now, finding.cause(), () -> finding).ifPresent(events::add); // one glimpse
      now = now.plusSeconds(leap);
      events.addAll(book.pass(now));
      book.present(now, finding).ifPresent(events::add);
      assertThat(book.isPresent(finding.cause())).isTrue();
    }
    assertThat(events).hasSize(1);
    for (int s = 0; s <= 120; s++) {
      book.absent(now.plusSeconds(s), finding.cause(), () -> finding).ifPresent(events::add);
    }
    assertThat(events).hasSize(2);
    assertThat(events.get(1).event()).isEqualTo(AlarmEvent.Kind.CLEARED);
  }

  @Provide
  Arbitrary<List<Integer>> leaps() {
    return Arbitraries.integers().between(-100_000, 100_000).list().ofMaxSize(30);
  }
}
