// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.farm;

import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;

/**
 * The farm: its tanks, and the altitude that its air pressure is taken from where nothing measures
 * it.
 *
 * @param name as the keeper calls it; part of Opercle's own MQTT topics
 * @param altitudeM metres above sea level
 * @param tanks in the order of the description; ids are unique
 */
public record Farm(String name, double altitudeM, List<Tank> tanks) {

  public Farm {
    tanks = List.copyOf(tanks);
  }

  /** The ids of all tanks. */
  public Set<String> tankIds() {
    return tanks.stream().map(Tank::id).collect(Collectors.toUnmodifiableSet());
  }

  /** The tank of that id, or empty. */
  public Optional<Tank> tank(String id) {
    return tanks.stream().filter(t -> t.id().equals(id)).findFirst();
  }
}
