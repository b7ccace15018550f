// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.holding;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.ToDoubleFunction;
import java.util.stream.Stream;
import opercle.analysis.records.Records;
import opercle.analysis.records.Standing;
import opercle.analysis.records.TankEntry;

/**
 * What was done and measured at one tank, oldest first; what was withdrawn or corrected stands as
 * it is now. Immutable.
 *
 * @param entries of one tank
 */
public record TankWork(List<TankEntry> entries) {

  /** Nothing is written down. */
  public static final TankWork NONE = new TankWork(List.of());

  /** A press of a button and the form beside it tell of one meal. */
  public static final Duration SAME_MEAL = Duration.ofMinutes(15);

  public TankWork {
    entries =
        entries.stream().sorted(Comparator.comparing((TankEntry e) -> e.where().time())).toList();
  }

  /** Of one tank, from the records. */
  public static TankWork of(Records records, String tank) {
    return new TankWork(
        records.standing(TankEntry.class).stream()
            .map(Standing::entry)
            .filter(e -> e.where().tank().equals(tank))
            .toList());
  }

  /**
   * The same with meals of which nobody said how much.
   *
   * @param fed when; one that is written down already is left out
   */
  public TankWork withMeals(List<Instant> fed, String tank) {
    List<TankEntry> all = new ArrayList<>(entries);
    for (Instant meal : fed) {
      if (of(TankEntry.Feed.class).stream().noneMatch(f -> isSame(f.where().time(), meal))) {
        all.add(
            new TankEntry.Feed(
                new TankEntry.Where(tank, Optional.empty(), meal),
                OptionalDouble.empty(),
                OptionalDouble.empty(),
                Optional.empty()));
      }
    }
    return new TankWork(all);
  }

  private static boolean isSame(Instant a, Instant b) {
    return Duration.between(a, b).abs().compareTo(SAME_MEAL) <= 0;
  }

  <T extends TankEntry> List<T> of(Class<T> kind) {
    return entries.stream().filter(kind::isInstance).map(kind::cast).toList();
  }

  /** Water that took along what was in it: changed, or run out and filled up again. */
  List<Exchanged> exchanged() {
    return entries.stream()
        .flatMap(
            e ->
                e instanceof TankEntry.WaterChange c
                    ? Stream.of(new Exchanged(c.where().time(), c.litres()))
                    : e instanceof TankEntry.TopUp t && t.lost() == TankEntry.TopUp.Lost.RAN_OUT
                        ? Stream.of(new Exchanged(t.where().time(), t.litres()))
                        : Stream.empty())
        .toList();
  }

  /** So much water, L, was replaced by fresh. */
  record Exchanged(Instant time, double litres) {}

  /**
   * The newest test that told something.
   *
   * @param value what it told; NaN where it did not
   * @param now what was written for later does not count yet
   */
  Optional<Tested> newest(ToDoubleFunction<TankEntry.WaterTest> value, Instant now) {
    return of(TankEntry.WaterTest.class).stream()
        .filter(t -> !t.where().time().isAfter(now) && !Double.isNaN(value.applyAsDouble(t)))
        .map(t -> new Tested(t.where().time(), value.applyAsDouble(t)))
        .reduce((older, newer) -> newer);
  }

  /** A value that somebody measured by hand. */
  record Tested(Instant time, double value) {

    boolean isWithin(Duration age, Instant now) {
      return time.plus(age).isAfter(now);
    }
  }
}
