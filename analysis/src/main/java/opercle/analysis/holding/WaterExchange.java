// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.holding;

import java.util.OptionalDouble;
import opercle.analysis.Band;
import opercle.analysis.ValidRange;

/**
 * What fresh water does to something dissolved in a tank. Conservation of mass, no more:
 *
 * <pre>
 *   let out, then filled up:  X' = X − (litres / V)(X − Xfresh)
 *   running through, mixed:   dX/dt = p − (q / V)(X − Xfresh)
 * </pre>
 *
 * <p>Water that is let in while the old still runs out dilutes less than the first line says: by 1
 * − exp(−litres/V). Pure; any thread.
 */
public final class WaterExchange {

  private static final ValidRange WATER =
      new ValidRange("water change", "water in the tank", 1.0, 1.0e7, "L");

  private WaterExchange() {}

  /**
   * After part of the water was let out and replaced.
   *
   * @param now before, mg/L (or any measure of a litre)
   * @param fresh what the fresh water holds of it, the same measure
   * @param litres changed, L; more than the tank holds is all of it
   * @param waterLitres in the tank, L
   */
  public static double after(double now, double fresh, double litres, double waterLitres) {
    double share = Math.min(1.0, Math.max(0.0, litres / WATER.require(waterLitres)));
    return now - share * (now - fresh);
  }

  /**
   * How much to change so that something comes down, or up, to a target.
   *
   * @return L; 0 where it is there already; empty where fresh water cannot bring it there
   */
  public static OptionalDouble litresToReach(
      double now, double target, double fresh, double waterLitres) {
    WATER.require(waterLitres);
    if (now <= target) {
      return OptionalDouble.of(0.0);
    }
    return fresh > target
        ? OptionalDouble.empty()
        : OptionalDouble.of(waterLitres * (now - target) / (now - fresh));
  }

  /**
   * After some hours in which it is given off evenly while fresh water, which holds none, runs
   * through.
   *
   * @param start mg/L
   * @param perHour given off, mg/L/h
   * @param freshLPerHour L/h
   * @param waterLitres L
   * @param hours h, 0 or more
   */
  static double running(
      double start, double perHour, double freshLPerHour, double waterLitres, double hours) {
    double turnover = freshLPerHour / waterLitres;
    if (turnover * hours < 1e-9) {
      return start + perHour * hours;
    }
    double left = Math.exp(-turnover * hours);
    return start * left + perHour / turnover * (1.0 - left);
  }

  /** The same with its uncertainty: each end with its own. */
  static Band running(
      Band start, Band perHour, double freshLPerHour, double waterLitres, double hours) {
    return new Band(
        running(start.low(), perHour.low(), freshLPerHour, waterLitres, hours),
        running(start.likely(), perHour.likely(), freshLPerHour, waterLitres, hours),
        running(start.high(), perHour.high(), freshLPerHour, waterLitres, hours));
  }
}
