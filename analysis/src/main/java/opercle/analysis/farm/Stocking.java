// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.farm;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import opercle.analysis.farm.Tank.Load;
import opercle.analysis.stock.Species;

/** What becomes of a load when fish are put in or taken out. Pure. */
public final class Stocking {

  private Stocking() {}

  /**
   * With more fish. Of a species that is there already they join the others: the count is known
   * only if both are (the size that is reckoned with is then the species' usual one), and the time
   * is that of the first, from which days held are counted.
   */
  public static List<Load> with(List<Load> loads, Load more) {
    List<Load> after = new ArrayList<>(loads);
    int at = indexOf(loads, more.species());
    if (at < 0) {
      after.add(more);
      return after;
    }
    Load there = loads.get(at);
    OptionalInt count =
        there.count().isPresent() && more.count().isPresent()
            ? OptionalInt.of(Math.addExact(there.count().getAsInt(), more.count().getAsInt()))
            : OptionalInt.empty();
    after.set(
        at,
        new Load(
            more.species(), there.kg() + more.kg(), count, earlier(there.since(), more.since())));
    return after;
  }

  /**
   * Each species once: what stands twice are fish that join the others, see {@link #with}; but
   * those that were not counted do not make one lose the number of the others. They are taken to be
   * as heavy as the counted ones, and at most of the species' usual size: small fish need more
   * oxygen for each kg, so none is taken for heavier, and so for less in need, than it was alone.
   */
  public static List<Load> joined(List<Load> loads) {
    List<Load> joined = List.of();
    for (Load load : loads) {
      joined = with(joined, counted(load, loads));
    }
    return List.copyOf(joined);
  }

  private static Load counted(Load load, List<Load> all) {
    double kg = 0.0;
    long count = 0;
    for (Load other : all) {
      if (other.species() == load.species() && other.count().isPresent()) {
        kg += other.kg();
        count += other.count().getAsInt();
      }
    }
    if (load.count().isPresent() || count == 0) {
      return load;
    }
    double usualKg = load.species().usualMassKg();
    double eachKg = kg > 0.0 ? Math.min(kg / count, usualKg) : usualKg;
    double most = Integer.MAX_VALUE / 2.0; // what is joined must be countable still
    int number = (int) Math.round(Math.min(most, load.kg() / eachKg));
    return new Load(load.species(), load.kg(), OptionalInt.of(number), load.since());
  }

  /**
   * With fewer fish. Without a count those taken are as heavy as the others; what is left of a
   * species that is gone is nothing.
   *
   * @param kg at most what is there, see {@link #kg}
   * @param count how many were taken, fewer than are there unless all of them are taken
   */
  public static List<Load> without(
      List<Load> loads, Species species, double kg, OptionalInt count) {
    List<Load> after = new ArrayList<>(loads);
    int at = indexOf(loads, species);
    if (at < 0) {
      throw new IllegalArgumentException("there are no " + species.commonName());
    }
    Load there = loads.get(at);
    double left = there.kg() - kg;
    if (left <= 0.0) {
      after.remove(at);
      return after;
    }
    after.set(at, new Load(species, left, countLeft(there, left, count), there.since()));
    return after;
  }

  private static OptionalInt countLeft(Load there, double kgLeft, OptionalInt taken) {
    if (there.count().isEmpty()) {
      return OptionalInt.empty();
    }
    int before = there.count().getAsInt();
    long left =
        taken.isPresent() ? before - taken.getAsInt() : Math.round(before * kgLeft / there.kg());
    return OptionalInt.of((int) Math.max(1, left));
  }

  /** How much there is of a species, kg. */
  public static double kg(List<Load> loads, Species species) {
    int at = indexOf(loads, species);
    return at < 0 ? 0.0 : loads.get(at).kg();
  }

  /** How many there are of a species; empty where nobody has said. */
  public static OptionalInt count(List<Load> loads, Species species) {
    int at = indexOf(loads, species);
    return at < 0 ? OptionalInt.empty() : loads.get(at).count();
  }

  private static Optional<Instant> earlier(Optional<Instant> a, Optional<Instant> b) {
    if (a.isEmpty() || b.isEmpty()) {
      return a.or(() -> b);
    }
    return a.get().isBefore(b.get()) ? a : b;
  }

  private static int indexOf(List<Load> loads, Species species) {
    for (int i = 0; i < loads.size(); i++) {
      if (loads.get(i).species() == species) {
        return i;
      }
    }
    return -1;
  }
}
