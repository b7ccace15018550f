// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.evening;

import java.util.OptionalDouble;
import opercle.analysis.farm.Tank;
import opercle.analysis.watch.TankState;
import opercle.analysis.watch.TimeInHand;

/**
 * How much more the load could breathe before the air that keeps it now would keep it no longer.
 *
 * <p>Where oxygen holds, the air gives what is breathed, kLa (C* − C) = demand (ASCE/EWRI 2-06, the
 * form of {@link opercle.analysis.gas.Transfer}). The same air could give kLa (C* − keep floor) at
 * the floor, so that the demand may grow by the factor (C* − floor) / (C* − C): neither kLa nor
 * demand need be known. C* is the saturation that the watch measures the oxygen by, at the pressure
 * of half the depth, where the bubbles are on the average; the deeper, the smaller the margin. Of
 * pure oxygen it says nothing: its margin is the cylinder's.
 */
final class BlowerMargin {

  /**
   * Less room than this is told: a meal, or two degrees more, may take a fifth (common practice).
   */
  static final double LEAST = 1.2;

  /** More than this is not worth a figure. */
  static final double MOST = 4.0;

  /** Where oxygen changes faster, (mg/L)/min, it has not settled: 0.6 (mg/L) an hour. */
  private static final double SETTLED_MG_PER_L_PER_MIN = 0.01;

  /** Water short of saturation by less, mg/L, tells a probe's error rather than a demand. */
  private static final double LEAST_DEFICIT_MG_PER_L = 0.3;

  /** 101.325 kPa over 9.81 kPa a metre. */
  private static final double METRES_OF_WATER_IN_AN_ATMOSPHERE = 10.33;

  private BlowerMargin() {}

  /**
   * By what factor the demand may grow, at most {@link #MOST}.
   *
   * @return empty where the supply is not air, or where oxygen is not known, has not settled, or is
   *     below the floor
   */
  static OptionalDouble of(Tank tank, TankState now) {
    if (tank.supply().gas() != Tank.Gas.AIR
        || !(now.timeInHand() instanceof TimeInHand.Holding)
        || now.oxygenMgPerL().isEmpty()
        || now.saturationPercent().isEmpty()
        || now.saturationPercent().getAsDouble() <= 0.0
        || Math.abs(now.slopeMgPerLPerMin().orElse(Double.MAX_VALUE)) > SETTLED_MG_PER_L_PER_MIN) {
      return OptionalDouble.empty();
    }
    double oxygen = now.oxygenMgPerL().getAsDouble();
    double atSurface = 100.0 * oxygen / now.saturationPercent().getAsDouble();
    double saturation = atSurface * (1.0 + tank.depthM() / 2.0 / METRES_OF_WATER_IN_AN_ATMOSPHERE);
    double floor = tank.floorsInForce().keepMgPerL();
    if (oxygen < floor) {
      return OptionalDouble.empty();
    }
    double deficit = Math.max(LEAST_DEFICIT_MG_PER_L, saturation - oxygen);
    return OptionalDouble.of(Math.min(MOST, Math.max(1.0, (saturation - floor) / deficit)));
  }
}
