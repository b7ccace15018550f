// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.util.Collection;
import java.util.EnumSet;
import java.util.Set;
import opercle.analysis.alarm.AlarmCause;
import opercle.ingest.reading.Quantity;

/**
 * Alarms that were restored and of whose present nothing has been heard yet: that nothing shows
 * them now proves nothing, and they must not end by it. Not thread-safe.
 */
final class Unproven {

  private final Set<AlarmCause> causes = EnumSet.noneOf(AlarmCause.class);

  /** These alarms, and no others, have just been restored. */
  void restored(Collection<AlarmCause> restored) {
    causes.clear();
    causes.addAll(restored);
  }

  /** There is a reading of that quantity, or none can come any more: what it shows counts. */
  void isKnown(Quantity quantity) {
    if (!causes.isEmpty()) {
      causes.removeIf(cause -> isProvenBy(quantity, cause));
    }
  }

  /** Whether a reading of that quantity can tell that a cause is over. */
  private static boolean isProvenBy(Quantity quantity, AlarmCause cause) {
    return switch (cause) {
      case GAS_LINE_STOPPED -> quantity == Quantity.GAS_FLOW;
      case CYLINDER_LOW -> quantity == Quantity.CYLINDER_PRESSURE;
      case WATER_WARM -> quantity == Quantity.TEMPERATURE;
      default -> quantity == Quantity.OXYGEN || quantity == Quantity.OXYGEN_SATURATION;
    };
  }

  boolean contains(AlarmCause cause) {
    return causes.contains(cause);
  }

  Set<AlarmCause> snapshot() {
    return Set.copyOf(causes);
  }
}
