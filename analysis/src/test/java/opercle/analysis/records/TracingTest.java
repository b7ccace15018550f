// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import org.junit.jupiter.api.Test;

class TracingTest {

  private static final Instant START = Instant.parse("2026-03-01T08:00:00Z");

  private final List<Recorded> all = new ArrayList<>();

  private String move(String from, String to, long count, int hour) {
    return move(from, to, OptionalLong.of(count), hour, 0);
  }

  /** Between waters named by a letter; "-" is none. */
  private String move(String from, String to, OptionalLong count, int hour, long died) {
    Movement m =
        Sallowmere.moved("Tench", count, water(from), water(to), START.plusSeconds(hour * 3600L));
    Movement withDeaths =
        new Movement(
            m.species(),
            m.count(),
            m.kg(),
            m.from(),
            m.to(),
            m.departs(),
            m.arrives(),
            count.isPresent() ? OptionalLong.of(died) : OptionalLong.empty(),
            m.means(),
            m.papers(),
            m.disinfection(),
            m.waterChanged(),
            m.note());
    String id = "movement-%05d".formatted(all.size());
    all.add(new Recorded(id, all.size() + 1L, START, "Maren", Optional.empty(), withDeaths));
    return id;
  }

  private static Optional<String> water(String name) {
    return name.equals("-") ? Optional.empty() : Optional.of(name);
  }

  private Tracing tracing() {
    return Tracing.of(Records.of(all));
  }

  @Test
  void forwards_takesOfEachOriginInProportion() {
    String traced = move("-", "A", 30, 0);
    move("-", "A", 70, 2);
    String on = move("A", "B", 50, 4);

    Trace trace = tracing().forwards(traced).orElseThrow();

    assertThat(trace.steps()).extracting(Trace.Step::movement).containsExactly(traced, on);
    assertThat(trace.steps().get(1).likelyFish()).isCloseTo(15.0, within(1e-9));
    assertThat(trace.end("A", "tench").orElseThrow().likelyFish()).isCloseTo(15.0, within(1e-9));
    assertThat(trace.end("B", "tench").orElseThrow().likelyFish()).isCloseTo(15.0, within(1e-9));
  }

  @Test
  void backwards_findsWhereTheyWereCountedIn() {
    move("-", "A", 30, 0);
    move("-", "B", 60, 0);
    move("A", "C", 30, 2);
    move("B", "C", 20, 2);
    String sold = move("C", "D", 10, 4);

    Trace trace = tracing().backwards(sold).orElseThrow();

    assertThat(trace.end("A", "tench").orElseThrow().likelyFish()).isCloseTo(6.0, within(1e-9));
    assertThat(trace.end("B", "tench").orElseThrow().likelyFish()).isCloseTo(4.0, within(1e-9));
    assertThat(trace.notKnown()).isZero();
  }

  @Test
  void movementOfMoreThanTheBooksHold_isFlagged_andItsExcessIsNotKnown() {
    move("-", "A", 10, 0);
    String tooMany = move("A", "B", 25, 2);

    assertThat(tracing().overdrawn()).containsExactly(new Trace.Overdraw(tooMany, "A", 25, 10.0));
    Trace back = tracing().backwards("B", START.plusSeconds(10 * 3600));
    assertThat(back.fish()).isEqualTo(25.0);
    assertThat(back.notKnown()).isCloseTo(15.0, within(1e-9));
    assertThat(back.end("A", "tench").orElseThrow().likelyFish()).isCloseTo(10.0, within(1e-9));
  }

  @Test
  void fishThatWereOnlyWeighed_arePerhapsThere_bothWays() {
    String first = move("-", "A", 10, 0);
    String weighed = move("A", "B", OptionalLong.empty(), 2, 0);
    String last = move("B", "C", 5, 4);

    Trace on = tracing().forwards(first).orElseThrow();
    assertThat(on.steps()).extracting(Trace.Step::movement).containsExactly(first, weighed, last);
    assertThat(on.end("C", "tench").orElseThrow().perhaps()).isTrue();
    Trace back = tracing().backwards(last).orElseThrow();
    assertThat(back.steps())
        .extracting(Trace.Step::movement)
        .containsExactlyInAnyOrder(first, weighed, last);
    assertThat(back.steps())
        .filteredOn(s -> !s.movement().equals(last))
        .allMatch(Trace.Step::perhaps);
    assertThat(back.notKnown()).isEqualTo(5.0);
    assertThat(back.end("A", "tench").orElseThrow().perhaps()).isTrue();
  }

  @Test
  void waterSinceAnInstant_tracesWhatWasThereAndWhatCameIn() {
    move("-", "A", 100, 0);
    move("A", "B", 40, 2); // before
    move("-", "A", 20, 6);
    move("A", "C", 30, 8);

    Trace trace = tracing().forwards("A", START.plusSeconds(5 * 3600));

    assertThat(trace.fish()).isEqualTo(80.0);
    assertThat(trace.end("B", "tench")).isEmpty();
    assertThat(trace.end("C", "tench").orElseThrow().likelyFish()).isCloseTo(30.0, within(1e-9));
    assertThat(trace.end("A", "tench").orElseThrow().likelyFish()).isCloseTo(50.0, within(1e-9));
  }

  private void atRandom(long seed, int movements, int waters) {
    Random random = new Random(seed);
    for (int i = 0; i < movements; i++) {
      int from = random.nextInt(waters + 1);
      int to = (from + 1 + random.nextInt(waters)) % (waters + 1); // another one
      long count = 1L + random.nextInt(200);
      move(
          from == waters ? "-" : "W" + from,
          to == waters ? "-" : "W" + to,
          OptionalLong.of(count),
          random.nextInt(2 * movements),
          random.nextInt(10) == 0 ? random.nextLong(count + 1) : 0);
    }
  }

  @Property(tries = 200)
  void fish_conserveBothWays(
      @ForAll long seed, @ForAll @IntRange(min = 1, max = 60) int movements) {
    all.clear();
    atRandom(seed, movements, 5);
    Tracing tracing = tracing();
    Instant end = START.plusSeconds(3 * 3600L * movements);
    for (Recorded recorded : all) {
      conserves(tracing.forwards(recorded.id()).orElseThrow());
      conserves(tracing.backwards(recorded.id()).orElseThrow());
    }
    for (int water = 0; water < 5; water++) {
      conserves(tracing.forwards("W" + water, START.plusSeconds(3600L * movements)));
      conserves(tracing.backwards("W" + water, end));
    }
  }

  private static void conserves(Trace trace) {
    double ends = trace.ends().stream().mapToDouble(Trace.End::likelyFish).sum();
    assertThat(ends + trace.died() + trace.notKnown())
        .as(trace.toString())
        .isCloseTo(trace.fish(), within(1e-6 * Math.max(1.0, trace.fish())));
    assertThat(trace.ends()).allMatch(end -> end.likelyFish() >= 0.0);
  }

  @Property(tries = 100)
  void forwardsAndBackwards_findTheSame(
      @ForAll long seed, @ForAll @IntRange(min = 1, max = 40) int movements) {
    all.clear();
    atRandom(seed, movements, 4);
    Tracing tracing = tracing();
    for (int water = 0; water < 4; water++) {
      String id = "W" + water;
      Trace back = tracing.backwards(id, START.plusSeconds(3 * 3600L * movements));
      for (Recorded recorded : all) {
        if (((Movement) recorded.entry()).from().isPresent()) {
          continue; // fish may pass the same movement's waters twice; only first ones are compared
        }
        double forth =
            tracing
                .forwards(recorded.id())
                .orElseThrow()
                .end(id, "tench")
                .map(Trace.End::likelyFish)
                .orElse(0.0);
        double found =
            back.steps().stream()
                .filter(step -> step.movement().equals(recorded.id()))
                .mapToDouble(Trace.Step::likelyFish)
                .sum();
        assertThat(found).isCloseTo(forth, within(1e-6));
      }
    }
  }

  @Test
  void waterWithTwoKinds_isTracedOfOneAlone_whereItIsNamed() {
    move("-", "A", 100, 0);
    Movement carp =
        Sallowmere.moved("Common carp", OptionalLong.of(7), Optional.empty(), water("A"), START);
    all.add(new Recorded("movement-carp", 2L, START, "Maren", Optional.empty(), carp));
    move("A", "B", 40, 2);
    Instant later = START.plusSeconds(36_000);

    assertThat(tracing().backwards("A", later).fish()).isEqualTo(67.0);
    assertThat(tracing().backwards("A", Optional.of("common  CARP"), later).fish()).isEqualTo(7.0);
    Trace on = tracing().forwards("A", Optional.of("tench"), START);
    assertThat(on.fish()).isEqualTo(100.0);
    assertThat(on.end("B", "tench").orElseThrow().likelyFish()).isCloseTo(40.0, within(1e-9));
    assertThat(on.end("A", "common carp")).isEmpty();
    conserves(on);
  }

  /**
   * What a person waits for who asks for a trace forwards and one backwards. The books are made
   * once for the same records; the first to ask after an entry waits for that too, so it has a
   * bound of its own. Best of some rounds, so that a crowded machine does not decide.
   */
  @Test
  void tenThousandMovementsOverFiveHundredWaters_areTracedUnder100Ms() {
    atRandom(1L, 10_000, 500);
    Instant end = START.plusSeconds(40_000L * 3600);
    String middle = all.get(5_000).id();
    long books = Long.MAX_VALUE;
    long traces = Long.MAX_VALUE;
    for (int round = 0; round < 20; round++) {
      Records records = Records.of(all);
      long began = System.nanoTime();
      Tracing tracing = Tracing.of(records);
      long made = System.nanoTime();
      Trace on = tracing.forwards(middle).orElseThrow();
      Trace back = tracing.backwards("W7", end);
      traces = Math.min(traces, System.nanoTime() - made);
      books = Math.min(books, made - began);
      assertThat(on.steps()).isNotEmpty();
      assertThat(back.steps()).isNotEmpty();
      assertThat(Tracing.of(records)).as("made once").isSameAs(tracing);
    }

    System.out.printf(
        "10,000 movements over 500 waters: books %.1f ms, a forward and a backward trace %.2f ms%n",
        books / 1.0e6, traces / 1.0e6);
    assertThat(Duration.ofNanos(traces)).isLessThan(Duration.ofMillis(100));
    assertThat(Duration.ofNanos(books)).isLessThan(Duration.ofMillis(100));
  }
}
