// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
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
 * fish that are there beyond the trip's stay. Where the record lacked fish of the trip, what was
 * put in afterwards and comes to just what it lacked are those, written down late; other sums are
 * not guessed at, and are asked about when the fish are out.
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
   * One change of what the tank's record says; an unloading here is one also where it took nothing.
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

  /**
   * What it should say when the fish of the trip are out, as they are now written down. Where the
   * record has had fewer of them than the trip says, those that were put in since are others and
   * stay; that something is open then, {@link #settled} says.
   */
  public List<Tank.Load> out() {
    List<Tank.Load> left = now();
    for (Species species : species()) {
      Past past = past(species, steps.size());
      double inRecordKg = Stocking.kg(left, species) - past.othersKg;
      double out = Math.min(inRecordKg, past.loadKg - past.goneKg);
      OptionalInt count =
          out < past.loadKg - NOTHING_KG
              ? OptionalInt.empty()
              : Stocking.count(log.trip().load(), species);
      left = without(left, species, out, count);
    }
    return left;
  }

  /**
   * What it should say after a correction of the loading, the last entry of the trip, while the
   * fish are in. Only what can still be in is changed: where more was taken out by hand than went
   * in by the correction, the two cannot both be so, and no fish vanish.
   *
   * @param before the loading that was corrected
   */
  public List<Tank.Load> along(Loaded before) {
    List<Tank.Load> along = now();
    Loaded right = log.loaded();
    for (Species species : species()) {
      Past past = past(species, steps.size());
      LoadedPart wrongPart = LoadedPart.of(before, species, past.goneKg);
      LoadedPart rightPart = LoadedPart.of(right, species, past.goneKg);
      boolean isMore = Math.abs(rightPart.loadKg() - wrongPart.loadKg()) >= SAME_KG;
      boolean isOther =
          isMore
              ? past.open.contains(right.id())
              : !wrongPart.loadCount().equals(rightPart.loadCount());
      if (isOther && past.goneKg < past.loadKg + SAME_KG) {
        along = with(along, species, isMore ? past.openKg : 0.0, wrongPart, rightPart);
      }
    }
    return along;
  }

  private static List<Tank.Load> with(
      List<Tank.Load> loads, Species species, double more, LoadedPart wrong, LoadedPart right) {
    double there = Stocking.kg(loads, species);
    double kg = Math.max(there + more, Math.min(there, right.kg())); // what must be in stays
    if (kg < SAME_KG) {
      return without(loads, species, there, OptionalInt.empty());
    }
    if (there <= 0.0) {
      boolean isAll = Math.abs(kg - right.loadKg()) < SAME_KG;
      return Stocking.with(
          loads,
          new Tank.Load(
              species, kg, isAll ? right.loadCount() : OptionalInt.empty(), Optional.empty()));
    }
    OptionalInt count = count(Stocking.count(loads, species), kg, wrong, right);
    return loads.stream()
        .map(l -> l.species() == species ? new Tank.Load(species, kg, count, l.since()) : l)
        .toList();
  }

  /** A number that the tank cannot have from the wrong loading is the keeper's own, and stays. */
  private static OptionalInt count(
      OptionalInt there, double kg, LoadedPart wrong, LoadedPart right) {
    if (there.equals(wrong.loadCount()) && Math.abs(kg - right.loadKg()) < SAME_KG) {
      return right.loadCount();
    }
    boolean isMore = Math.abs(wrong.loadKg() - right.loadKg()) >= SAME_KG;
    if (there.isEmpty() || right.loadCount().isEmpty() || (isMore && wrong.loadCount().isEmpty())) {
      return OptionalInt.empty();
    }
    double count = there.getAsInt() + right.count() - wrong.count();
    boolean isKeepers =
        wrong.loadCount().isEmpty()
            || Math.abs(there.getAsInt() - right.count()) < 1.0
            || count < Math.max(1.0, right.count() - 1.0);
    return isKeepers ? there : OptionalInt.of((int) Math.round(count));
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
      double inRecord = // of the trip's fish, so far as the record ever had them
          end < steps.size()
              ? Stocking.kg(then, species)
              : Math.max(0.0, Stocking.kg(atLoading, species) + past.matchedKg - past.goneKg);
      double open = Math.max(past.openKg, -inRecord);
      double there = Stocking.kg(then, species) + open;
      double done = open;
      List<Double> byHand = new ArrayList<>();
      for (Step step : steps.subList(Math.min(end, steps.size()), steps.size())) {
        if (step.entry().isPresent()) {
          done -= step.kg(species);
        } else {
          byHand.add(step.kg(species));
        }
      }
      double due = Math.max(0.0, Math.min(there, past.loadKg - past.goneKg));
      if (end >= steps.size()) { // not unloaded here: others stay, and nothing goes back
        double trips = Stocking.kg(atLoading, species) + open + past.matchedKg;
        due = Math.max(done, Math.min(due, Math.max(0.0, trips - past.goneKg)));
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
    boolean isCounted =
        !isAll && count.orElse(0) < Stocking.count(loads, species).orElse(Integer.MAX_VALUE);
    return Stocking.without(
        loads, species, isAll ? there : kg, isCounted ? count : OptionalInt.empty());
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
   * @param openKg what they come to, of what can still be in
   * @param matchedKg what those come to that the tank has had, by hand or with the loading
   * @param othersKg what was put in by hand since the loading and is of no figure of the trip
   */
  private record Past(
      double loadKg,
      double goneKg,
      Set<String> open,
      double openKg,
      double matchedKg,
      double othersKg) {}

  private Past past(Species species, int until) {
    List<Double> byHand = new ArrayList<>();
    List<Loaded> loadings =
        log.entries().stream().filter(Loaded.class::isInstance).map(Loaded.class::cast).toList();
    double said = Stocking.kg(loadings.get(0).trip().load(), species);
    byHand.add(Stocking.kg(atLoading, species) - said); // it was right from the start
    Map<String, Double> along = new LinkedHashMap<>(); // of this kind: the others go their own way
    for (Step step : steps.subList(0, until)) {
      if (step.entry().isEmpty()) {
        byHand.add(step.kg(species));
      } else if (Math.abs(step.kg(species)) > NOTHING_KG) {
        along.put(step.entry().get(), step.kg(species));
      }
    }
    boolean[] used = new boolean[byHand.size()];
    Map<String, double[]> open = new LinkedHashMap<>(); // from, and to
    double matchedKg = 0.0;
    for (Loaded loaded : loadings.subList(1, loadings.size())) {
      double is = Stocking.kg(loaded.trip().load(), species);
      double was = said;
      double more = is - was;
      said = is;
      if (Math.abs(more) < SAME_KG) {
        continue;
      }
      if (along.containsKey(loaded.id())) { // and with it those before it
        matchedKg += more;
        for (double[] kg : open.values()) {
          matchedKg += kg[1] - kg[0];
        }
        open.clear();
        continue;
      }
      Optional<int[]> run = run(byHand, used, more);
      if (run.isEmpty()) {
        open.put(loaded.id(), new double[] {was, is});
      } else {
        int from = run.get()[0]; // the first is what the record had at the loading already
        matchedKg += more - (from == 0 ? byHand.get(0) : 0.0);
        Arrays.fill(used, run.get()[0], run.get()[1], true);
      }
    }
    double lateKg = lateKg(species, said, along, byHand, used);
    matchedKg += lateKg;
    if (lateKg > 0.0) { // the record has all that the trip says now
      open.clear();
    }
    double gone = 0.0;
    double others = 0.0;
    for (int i = 1; i < used.length; i++) {
      gone += used[i] ? 0.0 : Math.max(0.0, -byHand.get(i));
      others += used[i] ? 0.0 : Math.max(0.0, byHand.get(i));
    }
    double openKg = 0.0;
    for (double[] kg : open.values()) {
      openKg += Math.max(0.0, kg[1] - gone) - Math.max(0.0, kg[0] - gone);
    }
    return new Past(said, gone, open.keySet(), openKg, matchedKg, others);
  }

  /**
   * Fish of the trip that the record got afterwards: what was put in by hand, with nothing taken
   * out between, and comes to just what it lacked of them, kg. Marks it as used.
   */
  private double lateKg(
      Species species,
      double saidKg,
      Map<String, Double> along,
      List<Double> byHand,
      boolean[] used) {
    double lacksKg = saidKg - Stocking.kg(atLoading, species);
    for (double kg : along.values()) {
      lacksKg -= kg;
    }
    for (int i = 1; i < used.length; i++) {
      lacksKg -= used[i] ? byHand.get(i) : 0.0;
    }
    used[0] = true; // that is the lack itself
    boolean[] notPutIn = used.clone();
    for (int i = 1; i < used.length; i++) {
      notPutIn[i] |= byHand.get(i) <= 0.0;
    }
    Optional<int[]> run = lacksKg < SAME_KG ? Optional.empty() : run(byHand, notPutIn, lacksKg);
    run.ifPresent(r -> Arrays.fill(used, r[0], r[1], true));
    return run.isPresent() ? lacksKg : 0.0;
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
