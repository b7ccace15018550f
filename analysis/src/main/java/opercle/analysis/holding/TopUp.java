// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.holding;

import java.util.OptionalDouble;
import opercle.analysis.ValidRange;
import opercle.analysis.records.TankEntry.TopUp.Lost;

/**
 * A tank that has less water in it than it should is filled up again. What evaporated left its salt
 * behind; what splashed or ran out took its salt along. Conservation of mass, no more; the water
 * that is filled up with is taken to hold no salt. Pure.
 *
 * @param litres to fill up, L
 * @param nowGPerL salt in the water as it stands, g/L
 * @param afterGPerL the same once it is full again, without more salt
 * @param targetGPerL wanted, g/L
 * @param saltKg to put in with it for the target, kg; 0 where there is enough
 * @param changeLitres to let out and fill up besides, L, where there is more salt than wanted; 0
 *     otherwise
 */
public record TopUp(
    double litres,
    double nowGPerL,
    double afterGPerL,
    double targetGPerL,
    double saltKg,
    double changeLitres) {

  /** At most this share of a tank is topped up; with more gone it is a water change. */
  public static final double MOST_SHARE = 0.5;

  private static final ValidRange WATER =
      new ValidRange("top-up", "water in the tank when it is full", 1.0, 1.0e7, "L");
  private static final ValidRange SALT = new ValidRange("top-up", "salt", 0.0, 70.0, "g/L");

  /**
   * How to fill up.
   *
   * @param waterLitres in the tank when it is full, L
   * @param litres that are missing, above 0 and at most {@link #MOST_SHARE} of it
   * @param lost where they went
   * @param saltGPerL salt: as a probe reads it now, or as it is reckoned for the full tank
   * @param measuredNow whether that was measured with the water as low as it is
   * @param target wanted, g/L; empty: as strong as before the water went, as far as that is known
   */
  public static TopUp of(
      double waterLitres,
      double litres,
      Lost lost,
      double saltGPerL,
      boolean measuredNow,
      OptionalDouble target) {
    WATER.require(waterLitres);
    SALT.require(saltGPerL);
    new ValidRange(
            "top-up", "water that is missing", Double.MIN_VALUE, MOST_SHARE * waterLitres, "L")
        .require(litres);
    double left = waterLitres - litres;
    double now =
        !measuredNow && lost == Lost.EVAPORATED ? saltGPerL * waterLitres / left : saltGPerL;
    double after = now * left / waterLitres;
    double wanted = target.orElse(lost == Lost.EVAPORATED ? after : now);
    SALT.require(wanted);
    return new TopUp(
        litres,
        now,
        after,
        wanted,
        Math.max(0.0, (wanted - after) * waterLitres / 1000.0),
        WaterExchange.litresToReach(after, wanted, 0.0, waterLitres).orElse(0.0));
  }
}
