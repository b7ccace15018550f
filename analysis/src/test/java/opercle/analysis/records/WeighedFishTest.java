// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Instant;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalLong;
import java.util.Random;
import java.util.Set;
import java.util.stream.Collectors;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import opercle.analysis.records.Recorded.Correction;

/**
 * Books as they are really kept: some movements only weighed, some corrected, some withdrawn. Fish
 * neither appear nor vanish, and nothing that was weighed is left out of where they may have gone.
 */
class WeighedFishTest {

  private static final Instant START = Instant.parse("2026-03-01T08:00:00Z");
  private static final int WATERS = 5;

  private final List<Recorded> all = new ArrayList<>();
  private final Set<String> withdrawn = new HashSet<>();

  private static Optional<String> water(int number) {
    return number == WATERS ? Optional.empty() : Optional.of("W" + number);
  }

  private static Movement anyMovement(Random random, int hours) {
    int from = random.nextInt(WATERS + 1);
    int to = (from + 1 + random.nextInt(WATERS)) % (WATERS + 1);
    boolean isWeighed = random.nextInt(4) == 0;
    long count = 1L + random.nextInt(200);
    Movement m =
        Sallowmere.moved(
            "Tench",
            OptionalLong.of(count),
            water(from),
            water(to),
            START.plusSeconds(3600L * random.nextInt(hours)));
    return new Movement(
        m.species(),
        isWeighed ? OptionalLong.empty() : m.count(),
        isWeighed ? OptionalDouble.of(0.5 * count) : m.kg(),
        m.from(),
        m.to(),
        m.departs(),
        m.arrives(),
        !isWeighed && random.nextInt(5) == 0
            ? OptionalLong.of(random.nextLong(count + 1))
            : OptionalLong.empty(),
        m.means(),
        m.papers(),
        m.disinfection(),
        m.waterChanged(),
        m.note());
  }

  private void record(Movement movement, Optional<Correction> correction) {
    all.add(
        new Recorded(
            "movement-%05d".formatted(all.size()),
            all.size() + 1L,
            START,
            "Maren",
            correction,
            movement));
  }

  private void atRandom(long seed, int movements) {
    Random random = new Random(seed);
    all.clear();
    withdrawn.clear();
    for (int i = 0; i < movements; i++) {
      record(anyMovement(random, 2 * movements), Optional.empty());
      int what = random.nextInt(6);
      if (what < 2) {
        Recorded wrong = all.get(random.nextInt(all.size()));
        record(
            what == 0 ? anyMovement(random, 2 * movements) : (Movement) wrong.entry(),
            Optional.of(new Correction(wrong.id(), "As it was.", what == 1)));
      }
    }
    Records records = Records.of(all);
    records.withWithdrawn(Movement.class).stream()
        .filter(Standing::withdrawn)
        .flatMap(s -> s.versions().stream())
        .map(Recorded::id)
        .forEach(withdrawn::add);
  }

  @Property(tries = 200)
  void fishConserve_whateverWasWeighed_correctedOrWithdrawn(
      @ForAll long seed, @ForAll @IntRange(min = 1, max = 50) int movements) {
    atRandom(seed, movements);
    Records records = Records.of(all);
    Tracing tracing = Tracing.of(records);
    for (Standing<Movement> standing : records.standing(Movement.class)) {
      Trace on = tracing.forwards(standing.id()).orElseThrow();
      Trace back = tracing.backwards(standing.id()).orElseThrow();
      conserves(on);
      conserves(back);
      standing
          .entry()
          .count()
          .ifPresent(n -> assertThat(on.fish()).as("as it stands now").isEqualTo((double) n));
      assertThat(on.steps()).noneMatch(step -> withdrawn.contains(step.movement()));
      assertThat(back.steps()).noneMatch(step -> withdrawn.contains(step.movement()));
    }
    for (int water = 0; water < WATERS; water++) {
      conserves(tracing.forwards("W" + water, START.plusSeconds(3600L * movements)));
      conserves(tracing.backwards("W" + water, START.plusSeconds(3L * 3600 * movements)));
    }
    withdrawn.stream()
        .filter(id -> records.find(Movement.class, id).orElseThrow().withdrawn())
        .forEach(id -> assertThat(tracing.forwards(id)).isEmpty());
  }

  /** The same books by another reckoning: what each water holds, counted from what stands alone. */
  @Property(tries = 200)
  void watersHold_whatCameInLessWhatWentOut(
      @ForAll long seed, @ForAll @IntRange(min = 1, max = 50) int movements) {
    atRandom(seed, movements);
    Records records = Records.of(all);
    Tracing tracing = Tracing.of(records);
    List<Standing<Movement>> counted =
        records.standing(Movement.class).stream()
            .filter(s -> s.entry().count().isPresent())
            .collect(Collectors.toList());
    for (int water = 0; water < WATERS; water++) {
      String id = "W" + water;
      double came = 0.0;
      double went = 0.0;
      for (Standing<Movement> s : counted) {
        Movement m = s.entry();
        if (m.to().equals(Optional.of(id))) {
          came += m.count().getAsLong() - m.died().orElse(0);
        }
        if (m.from().equals(Optional.of(id))) {
          went += m.count().getAsLong();
        }
      }
      double overdrawn =
          tracing.overdrawn().stream()
              .filter(o -> o.water().equals(id))
              .mapToDouble(o -> o.took() - o.held())
              .sum();
      assertThat(tracing.backwards(id, START.plusSeconds(3L * 3600 * movements)).fish())
          .isCloseTo(came - went + overdrawn, within(1e-6 * Math.max(1.0, came)));
    }
  }

  private static void conserves(Trace trace) {
    double ends = trace.ends().stream().mapToDouble(Trace.End::likelyFish).sum();
    assertThat(ends + trace.died() + trace.notKnown())
        .as(trace.toString())
        .isCloseTo(trace.fish(), within(1e-6 * Math.max(1.0, trace.fish())));
    assertThat(trace.ends()).allMatch(end -> end.likelyFish() >= 0.0);
    assertThat(trace.notKnown()).isGreaterThanOrEqualTo(-1e-9);
  }
}
