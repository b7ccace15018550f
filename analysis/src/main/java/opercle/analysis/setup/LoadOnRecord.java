// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.setup;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Collectors;
import opercle.analysis.farm.Tank;
import opercle.analysis.records.Movement;
import opercle.analysis.stock.Species;

/** What the movement records of a trip do not say of the fish that are aboard. Pure. */
public final class LoadOnRecord {

  /** Scales, and water on the fish, are good to so much (common practice). */
  private static final double WEIGHED_TO = 0.1;

  private LoadOnRecord() {}

  /**
   * What they lack, a sentence each. Fewer fish than one says may be the first of two trips, and
   * are no matter.
   *
   * @param load what is aboard
   * @param recorded the trip's movement records, at least one; each is of one kind of fish
   */
  public static List<String> lacks(List<Tank.Load> load, List<Movement> recorded) {
    List<String> lacks = new ArrayList<>();
    String others =
        load.stream()
            .filter(l -> l.kg() > 0.0)
            .filter(l -> recorded.stream().noneMatch(r -> l.species().isCalled(r.species())))
            .map(l -> l.species().commonName())
            .distinct()
            .collect(Collectors.joining(" and "));
    if (!others.isEmpty()) {
      lacks.add(
          recorded.size() == 1
              ? "The movement record is of %s; the %s aboard are on none. Make one for them, and choose it beside this one."
                  .formatted(kind(recorded.get(0)), others)
              : "The %s aboard are on none of the movement records. Make one for them, and choose it beside these."
                  .formatted(others));
    }
    load.stream()
        .map(Tank.Load::species)
        .distinct()
        .flatMap(species -> more(load, species, recorded).stream())
        .forEach(lacks::add);
    return lacks;
  }

  /** Where more of a kind are aboard than the records of that kind say together. */
  private static Optional<String> more(
      List<Tank.Load> load, Species species, List<Movement> recorded) {
    List<Movement> its = recorded.stream().filter(r -> species.isCalled(r.species())).toList();
    List<Tank.Load> loads = load.stream().filter(l -> l.species() == species).toList();
    if (its.isEmpty()) {
      return Optional.empty();
    }
    boolean counted =
        loads.stream().allMatch(l -> l.count().isPresent())
            && its.stream().allMatch(r -> r.count().isPresent());
    long fish = loads.stream().mapToLong(l -> l.count().orElse(0)).sum();
    long said = its.stream().mapToLong(r -> r.count().orElse(0L)).sum();
    if (counted && fish > said) {
      return Optional.of(
          "%d %s are aboard; the movement record says %d."
              .formatted(fish, species.commonName(), said));
    }
    boolean weighed = its.stream().allMatch(r -> r.kg().isPresent());
    double kg = loads.stream().mapToDouble(Tank.Load::kg).sum();
    double saidKg = its.stream().mapToDouble(r -> r.kg().orElse(0.0)).sum();
    return weighed && kg > (1.0 + WEIGHED_TO) * saidKg
        ? Optional.of(
            "%.0f kg of %s are aboard; the movement record says %.0f kg."
                .formatted(kg, species.commonName(), saidKg))
        : Optional.empty();
  }

  private static String kind(Movement recorded) {
    return recorded.species().strip().replaceAll("\\s+", " ").toLowerCase(Locale.ROOT);
  }
}
