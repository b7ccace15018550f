// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

import java.util.Arrays;
import java.util.Locale;
import java.util.Optional;

/** What an alarm is about. The ids are part of the contract with other programs. */
public enum AlarmCause {
  /** The meter says that gas has stopped, or nearly. */
  GAS_LINE_STOPPED,
  /** Gas is flowing or not measured, but oxygen falls as if none reached the water. */
  GAS_NOT_REACHING_WATER,
  /**
   * Falling faster than load and supply explain, or too fast for the time left; cause not known.
   */
  OXYGEN_FALLING,
  /** Below the floor now. */
  OXYGEN_LOW,
  /** Supersaturated beyond what the load should have. */
  OXYGEN_HIGH,
  /** The gas will not last to the end of the trip, or past the reserve. */
  CYLINDER_LOW,
  /** Temperature beyond the load's range, or rising fast. */
  WATER_WARM,
  /** Two probes in one tank disagree. */
  OXYGEN_UNEVEN,
  /** No reading for too long. */
  PROBE_SILENT,
  /** Stuck, jumping, out of water, drifting or out of range. */
  PROBE_SUSPECT,
  /** The load demands more than the supply can give. */
  LOAD_TOO_HEAVY,
  /** Days held at this density beyond the keeper's limit. */
  HELD_TOO_LONG,
  /** Un-ionised ammonia or carbon dioxide too high. */
  WASTE_HIGH;

  /** The id in topics and events, for instance {@code gas-line-stopped}. */
  public String id() {
    return name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  /** The cause of that id, or empty. */
  public static Optional<AlarmCause> of(String id) {
    return Arrays.stream(values()).filter(c -> c.id().equals(id)).findFirst();
  }
}
