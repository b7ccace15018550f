// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.farm;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import opercle.analysis.farm.Tank.Load;

/**
 * A tank as it stood over a span that is past, by the farm's versions: a night is reviewed with the
 * fish that were in the tank then, whatever is in it today. Pure.
 *
 * @param tank as it stood at the beginning; empty where nobody knows
 * @param changed when its load became another one within the span; mostly empty
 * @param next the tank from then on
 * @param known from when on the versions tell of the farm; empty where there is none
 */
public record TankThen(
    Optional<Tank> tank, Optional<Instant> changed, Optional<Tank> next, Optional<Instant> known) {

  /**
   * A load that changes by less is taken for the same: what fish breathe is not known as closely
   * (ours). A few dead ones that are taken out in the night do not make another load.
   */
  static final double SAME_SHARE = 0.05;

  /**
   * The farm from an instant on.
   *
   * @param since from when it was so
   * @param farm how it was
   */
  public record Version(Instant since, Farm farm) {}

  /**
   * How a tank stood.
   *
   * <p>Before the first version it is known only if all its fish are written down as there since
   * before the span.
   *
   * @param versions of the farm, in any order
   * @param id of the tank
   * @param from beginning of the span
   * @param to its end
   */
  public static TankThen of(List<Version> versions, String id, Instant from, Instant to) {
    List<Version> inOrder = versions.stream().sorted(Comparator.comparing(Version::since)).toList();
    Optional<Instant> known = inOrder.stream().map(Version::since).findFirst();
    Optional<Tank> then = Optional.empty();
    List<Version> later = new ArrayList<>();
    for (Version version : inOrder) {
      if (version.since().isAfter(from)) {
        later.add(version);
      } else {
        then = version.farm().tank(id);
      }
    }
    if (later.size() == inOrder.size() && !later.isEmpty()) {
      then = later.get(0).farm().tank(id).filter(tank -> isThereSince(tank, from));
    }
    List<Load> loads = then.map(Tank::loads).orElse(List.of());
    Optional<Version> other =
        later.stream()
            .filter(version -> !version.since().isAfter(to))
            .filter(
                version ->
                    !version.farm().tank(id).map(t -> isSame(loads, t.loads())).orElse(false))
            .findFirst();
    return new TankThen(
        then,
        other.map(Version::since).filter(at -> loads.stream().anyMatch(l -> l.kg() > 0.0)),
        other.flatMap(version -> version.farm().tank(id)),
        known);
  }

  private static boolean isThereSince(Tank tank, Instant from) {
    List<Load> stocked = tank.loads().stream().filter(l -> l.kg() > 0.0).toList();
    return !stocked.isEmpty()
        && stocked.stream().allMatch(l -> l.since().filter(t -> !t.isAfter(from)).isPresent());
  }

  private static boolean isSame(List<Load> one, List<Load> other) {
    double kg = one.stream().mapToDouble(Load::kg).sum();
    double differs =
        Stream.concat(one.stream(), other.stream())
            .map(Load::species)
            .distinct()
            .mapToDouble(s -> Math.abs(Stocking.kg(one, s) - Stocking.kg(other, s)))
            .sum();
    return differs <= SAME_SHARE * kg;
  }
}
