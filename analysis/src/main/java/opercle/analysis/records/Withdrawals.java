// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import java.time.Instant;
import java.time.LocalDate;
import java.util.List;

/**
 * Withdrawal periods that have not ended, as the vet told them. None is worked out here, and where
 * the vet's last day was not noted a period counts as running.
 */
public final class Withdrawals {

  private Withdrawals() {}

  /**
   * Treatments at a tank whose period runs on a day, in the order of recording.
   *
   * @param tank its id
   * @param day at the farm
   */
  public static List<TankEntry.Treatment> running(Records records, String tank, LocalDate day) {
    return records.standing(TankEntry.Treatment.class).stream()
        .map(Standing::entry)
        .filter(t -> t.where().tank().equals(tank) && isRunning(t, day))
        .toList();
  }

  /**
   * Those that fish which leave a water at a time may be under. A water is a tank if it says so, or
   * if it is called what the tank is.
   */
  static List<TankEntry.Treatment> of(Records records, Water water, Instant leaves, LocalDate day) {
    return records.standing(TankEntry.Treatment.class).stream()
        .map(Standing::entry)
        .filter(t -> isTank(water, t.where()))
        .filter(t -> !t.where().time().isAfter(leaves) && isRunning(t, day))
        .toList();
  }

  private static boolean isTank(Water water, TankEntry.Where where) {
    if (water.tank().isPresent()) {
      return water.tank().get().equals(where.tank());
    }
    return water.name().equalsIgnoreCase(where.tank())
        || where.name().filter(water.name()::equalsIgnoreCase).isPresent();
  }

  private static boolean isRunning(TankEntry.Treatment treatment, LocalDate day) {
    return treatment.until().isPresent()
        ? treatment.runsOn(day)
        : treatment.withdrawal().isPresent();
  }
}
