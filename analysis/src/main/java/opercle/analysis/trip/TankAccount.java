// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;
import opercle.analysis.farm.Stocking;
import opercle.analysis.farm.Tank;
import opercle.analysis.stock.Species;
import opercle.analysis.trip.TripEntry.Loaded;
import opercle.analysis.trip.TripEntry.Unloaded;

/**
 * What the record of a tank says of the fish of a trip, and what it should say. Pure.
 *
 * <p>A tank's record and a trip's loading tell of the same fish. Whoever puts a wrong figure right
 * may do it in both, in either order: a change by hand, or some in a row, that come to just what
 * the loading was corrected by are that correction, and no fish that came or went. So is a tank
 * that said so from the start. Where the tank was not put right, it goes along with the loading.
 * What else was taken out by hand since the loading are fish of the trip, and are not taken twice;
 * fish that are there beyond the trip's stay.
 */
public final class TankAccount {

  /** Two figures that differ by less are the same figure, in whatever unit it was typed, kg. */
  private static final double SAME_KG = 0.05;

  /** Less is a rounding, kg. */
  private static final double NOTHING_KG = 1.0e-6;

  private final TripLog log;
  private final List<Tank.Load> atLoading;
  private final List<Step> steps;

  /**
   * The account of a trip.
   *
   * @param atLoading what the tank's record said when the fish went in
   * @param steps what became of it since, oldest first
   */
  public TankAccount(TripLog log, List<Tank.Load> atLoading, List<Step> steps) {
    this.log = log;
    this.atLoading = List.copyOf(atLoading);
    this.steps = List.copyOf(steps);
  }

  /**
   * One change of what the tank's record says.
   *
   * @param before it
   * @param after it
   * @param entry the id of the trip's entry that it followed from; empty: it was made by hand
   */
  public record Step(List<Tank.Load> before, List<Tank.Load> after, Optional<String> entry) {

    public Step {
      before = List.copyOf(before);
      after = List.copyOf(after);
    }

    private double kg(Species species) {
      return Stocking.kg(after, species) - Stocking.kg(before, species);
    }
  }

  /** What the record says now. */
  public List<Tank.Load> now() {
    return steps.isEmpty() ? atLoading : steps.get(steps.size() - 1).after();
  }

  /** What it should say when the fish of the trip are out, as they are now written down. */
  public List<Tank.Load> out() {
    List<Tank.Load> left = now();
    for (Species species : species()) {
      Past past = past(species, steps.size());
      double out = Math.min(Stocking.kg(left, species), past.loadKg - past.goneKg);
      OptionalInt count =
          past.goneKg > NOTHING_KG
              ? OptionalInt.empty()
              : Stocking.count(log.trip().load(), species);
      left = without(left, species, out, count);
    }
    return left;
  }

  /**
   * What it should say after a correction of the loading, the last entry of the trip, while the
   * fish are in.
   *
   * @param before the loading that was corrected
   */
  public List<Tank.Load> along(Loaded before) {
    List<Tank.Load> along = now();
    Loaded right = log.loaded();
    for (Species species : species()) {
      double wrongKg = Stocking.kg(before.trip().load(), species);
      double more = Stocking.kg(right.trip().load(), species) - wrongKg;
      OptionalInt wrongCount = Stocking.count(before.trip().load(), species);
      OptionalInt rightCount = Stocking.count(right.trip().load(), species);
      boolean isMore = Math.abs(more) >= SAME_KG;
      if ((isMore && past(species, steps.size()).open.contains(right.id()))
          || (!isMore && !wrongCount.equals(rightCount))) {
        along = with(along, species, more, wrongCount, rightCount);
      }
    }
    return along;
  }

  private static List<Tank.Load> with(
      List<Tank.Load> loads,
      Species species,
      double more,
      OptionalInt wrongCount,
      OptionalInt rightCount) {
    double there = Stocking.kg(loads, species);
    double kg = there + more;
    if (kg < SAME_KG) {
      return without(loads, species, there, OptionalInt.empty());
    }
    OptionalInt count = count(Stocking.count(loads, species), wrongCount, rightCount);
    List<Tank.Load> after = new ArrayList<>();
    boolean isThere = false;
    for (Tank.Load load : loads) {
      boolean isIt = load.species() == species;
      isThere |= isIt;
      after.add(isIt ? new Tank.Load(species, kg, count, load.since()) : load);
    }
    if (!isThere) {
      after.add(new Tank.Load(species, kg, rightCount, Optional.empty()));
    }
    return after;
  }

  private static OptionalInt count(OptionalInt there, OptionalInt wrong, OptionalInt right) {
    if (there.equals(wrong)) {
      return right;
    }
    return there.isPresent() && wrong.isPresent() && right.isPresent()
        ? OptionalInt.of(Math.max(1, there.getAsInt() + right.getAsInt() - wrong.getAsInt()))
        : OptionalInt.empty();
  }

  /**
   * What it should say after the end of the trip by all that is written of it now, where it was
   * taken back or put right since; the same as {@link #now} where nothing is open, or where
   * somebody has done it by hand.
   */
  public List<Tank.Load> settled() {
    List<Tank.Load> settled = now();
    int end = end();
    for (Species species : species()) {
      Past past = past(species, Math.min(end, steps.size()));
      List<Tank.Load> then = end < steps.size() ? steps.get(end).before() : now();
      double there = Stocking.kg(then, species) + past.openKg;
      double done = past.openKg;
      List<Double> byHand = new ArrayList<>();
      for (Step step : steps.subList(Math.min(end, steps.size()), steps.size())) {
        if (step.entry().isPresent()) {
          done -= step.kg(species);
        } else {
          byHand.add(step.kg(species));
        }
      }
      double due = Math.max(0.0, Math.min(there, past.loadKg - past.goneKg));
      if (end >= steps.size()) { // nothing was taken: fish that came in since the loading stay
        due = Math.min(due, Stocking.kg(atLoading, species) + past.openKg + past.matchedKg);
      }
      if (log.withdrawn().isPresent()) {
        due = end < steps.size() ? 0.0 : done; // those that never went out are there still
      }
      double rest = due - done;
      if (Math.abs(rest) >= SAME_KG && run(byHand, new boolean[byHand.size()], -rest).isEmpty()) {
        settled =
            rest > 0.0
                ? without(
                    settled,
                    species,
                    Math.min(rest, Stocking.kg(settled, species)),
                    OptionalInt.empty())
                : Stocking.with(settled, back(species, -rest, end));
      }
    }
    return settled;
  }

  /** Fish that go back, counted where they are just those that were taken out. */
  private Tank.Load back(Species species, double kg, int end) {
    List<Tank.Load> before = steps.get(end).before();
    boolean isAll =
        Math.abs(Stocking.kg(before, species) - kg) < SAME_KG
            && Stocking.kg(steps.get(end).after(), species) < NOTHING_KG;
    Optional<Tank.Load> was = before.stream().filter(l -> l.species() == species).findFirst();
    return new Tank.Load(
        species,
        kg,
        isAll ? Stocking.count(before, species) : OptionalInt.empty(),
        was.flatMap(Tank.Load::since));
  }

  private static List<Tank.Load> without(
      List<Tank.Load> loads, Species species, double kg, OptionalInt count) {
    double there = Stocking.kg(loads, species);
    if (kg <= NOTHING_KG || there <= 0.0) {
      return loads;
    }
    boolean isAll = there - kg < NOTHING_KG;
    return Stocking.without(
        loads, species, isAll ? there : kg, isAll ? OptionalInt.empty() : count);
  }

  /** The step with which the fish went out; the number of steps where there is none. */
  private int end() {
    Set<String> atEnd = new LinkedHashSet<>();
    boolean isOut = false;
    for (TripEntry entry : log.entries()) {
      isOut |= entry instanceof Unloaded;
      if (isOut) {
        atEnd.add(entry.id());
      }
    }
    int end = 0;
    while (end < steps.size() && steps.get(end).entry().filter(atEnd::contains).isEmpty()) {
      end++;
    }
    return end;
  }

  private List<Species> species() {
    Set<Species> species = new LinkedHashSet<>();
    for (TripEntry entry : log.entries()) {
      if (entry instanceof Loaded loaded) {
        loaded.trip().load().forEach(l -> species.add(l.species()));
      }
    }
    return List.copyOf(species);
  }

  /**
   * What is known of a kind of fish up to a step.
   *
   * @param loadKg what the trip says
   * @param goneKg what was taken out by hand since the loading
   * @param open the corrections of the loading that the tank has not had
   * @param openKg what they come to
   * @param matchedKg what those come to that the tank has had, by hand or with the loading
   */
  private record Past(
      double loadKg, double goneKg, Set<String> open, double openKg, double matchedKg) {}

  private Past past(Species species, int until) {
    List<Double> byHand = new ArrayList<>();
    List<Loaded> loadings =
        log.entries().stream().filter(Loaded.class::isInstance).map(Loaded.class::cast).toList();
    double said = Stocking.kg(loadings.get(0).trip().load(), species);
    byHand.add(Stocking.kg(atLoading, species) - said); // it was right from the start
    Set<String> along = new LinkedHashSet<>();
    for (Step step : steps.subList(0, until)) {
      step.entry().ifPresent(along::add);
      if (step.entry().isEmpty()) {
        byHand.add(step.kg(species));
      }
    }
    boolean[] used = new boolean[byHand.size()];
    Set<String> open = new LinkedHashSet<>();
    double openKg = 0.0;
    double matchedKg = 0.0;
    for (Loaded loaded : loadings.subList(1, loadings.size())) {
      double is = Stocking.kg(loaded.trip().load(), species);
      double more = is - said;
      said = is;
      if (Math.abs(more) < SAME_KG) {
        continue;
      }
      Optional<int[]> run =
          along.contains(loaded.id()) ? Optional.empty() : run(byHand, used, more);
      if (!along.contains(loaded.id()) && run.isEmpty()) {
        open.add(loaded.id());
        openKg += more;
      } else {
        matchedKg += more;
      }
      run.ifPresent(r -> Arrays.fill(used, r[0], r[1], true));
    }
    double gone = 0.0;
    for (int i = 1; i < used.length; i++) {
      gone += used[i] ? 0.0 : Math.max(0.0, -byHand.get(i));
    }
    return new Past(said, gone, open, openKg, matchedKg);
  }

  /** The fewest changes in a row, none of them used, that come to so much: from, and up to. */
  private static Optional<int[]> run(List<Double> changes, boolean[] used, double kg) {
    for (int length = 1; length <= changes.size(); length++) {
      for (int from = 0; from + length <= changes.size(); from++) {
        double sum = 0.0;
        boolean isFree = true;
        for (int i = from; i < from + length; i++) {
          sum += changes.get(i);
          isFree &= !used[i];
        }
        if (isFree && Math.abs(sum - kg) < SAME_KG) {
          return Optional.of(new int[] {from, from + length});
        }
      }
    }
    return Optional.empty();
  }
}
