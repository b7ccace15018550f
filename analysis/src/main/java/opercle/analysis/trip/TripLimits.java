// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import opercle.analysis.ValidRange;
import opercle.analysis.farm.Tank;

/**
 * The limits that applied to a load.
 *
 * @param keepMgPerL the floor at which the keeper acts, mg/L
 * @param criticalMgPerL the floor below which fish are being harmed, mg/L
 * @param upperPercent the highest oxygen that it should have, percent of air saturation
 */
public record TripLimits(double keepMgPerL, double criticalMgPerL, double upperPercent) {

  /** A floor, mg/L. */
  public static final ValidRange FLOOR =
      new ValidRange("trip's limits", "floor", 0.1, 30.0, "mg/L");

  /** The upper limit, percent of air saturation. */
  public static final ValidRange UPPER =
      new ValidRange("trip's limits", "upper limit", 100.0, 600.0, "%");

  // As the watch has them: air alone cannot keep water much above saturation; pure oxygen does,
  // and harms nobody to 200 % (common practice).
  private static final double UPPER_WITH_AIR = 130.0;
  private static final double UPPER_WITH_OXYGEN = 200.0;

  public TripLimits {
    FLOOR.require(keepMgPerL);
    FLOOR.require(criticalMgPerL);
    UPPER.require(upperPercent);
    if (criticalMgPerL > keepMgPerL) {
      throw new IllegalArgumentException(
          "trip's limits: the critical floor %s mg/L is above the keep floor %s mg/L"
              .formatted(criticalMgPerL, keepMgPerL));
    }
  }

  /** Those in force for a tank and its load. */
  public static TripLimits of(Tank tank) {
    Tank.Floors floors = tank.floorsInForce();
    return new TripLimits(
        floors.keepMgPerL(), floors.criticalMgPerL(), upperPercent(tank.supply().gas()));
  }

  /** The upper limit where nobody said another. */
  public static double upperPercent(Tank.Gas gas) {
    return gas == Tank.Gas.OXYGEN ? UPPER_WITH_OXYGEN : UPPER_WITH_AIR;
  }
}
