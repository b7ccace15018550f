// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.setup;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import opercle.analysis.farm.Tank;
import opercle.analysis.records.Movement;

/** What a movement record does not say of the fish that are aboard. Pure. */
public final class LoadOnRecord {

  /** Scales, and water on the fish, are good to so much (common practice). */
  private static final double WEIGHED_TO = 0.1;

  private LoadOnRecord() {}

  /**
   * What it lacks, a sentence each. Fewer fish than it says may be the first of two trips, and are
   * no matter.
   *
   * @param load what is aboard
   */
  public static List<String> lacks(List<Tank.Load> load, Movement recorded) {
    List<Tank.Load> its =
        load.stream().filter(l -> l.species().isCalled(recorded.species())).toList();
    List<String> lacks = new ArrayList<>();
    String others =
        load.stream()
            .filter(l -> l.kg() > 0.0 && !l.species().isCalled(recorded.species()))
            .map(l -> l.species().commonName())
            .distinct()
            .collect(Collectors.joining(" and "));
    if (!others.isEmpty()) {
      lacks.add(
          "The movement record is of %s; the %s aboard are on none. Make one for them."
              .formatted(
                  recorded.species().strip().replaceAll("\\s+", " ").toLowerCase(Locale.ROOT),
                  others));
    }
    boolean counted = !its.isEmpty() && its.stream().allMatch(l -> l.count().isPresent());
    long fish = its.stream().mapToLong(l -> l.count().orElse(0)).sum();
    double kg = its.stream().mapToDouble(Tank.Load::kg).sum();
    if (counted && recorded.count().isPresent() && fish > recorded.count().getAsLong()) {
      lacks.add(
          "%d %s are aboard; the movement record says %d."
              .formatted(fish, its.get(0).species().commonName(), recorded.count().getAsLong()));
    } else if (recorded.kg().isPresent() && kg > (1.0 + WEIGHED_TO) * recorded.kg().getAsDouble()) {
      lacks.add(
          "%.0f kg of %s are aboard; the movement record says %.0f kg."
              .formatted(kg, its.get(0).species().commonName(), recorded.kg().getAsDouble()));
    }
    return lacks;
  }
}
