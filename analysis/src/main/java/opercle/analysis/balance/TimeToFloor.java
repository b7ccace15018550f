// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.balance;

import opercle.analysis.Band;

/**
 * How long until oxygen falls to a floor, with a constant demand and first-order exchange:
 *
 * <pre>
 *   dC/dt = k (C* − C) − D
 *   t     = ln(1 + k (C0 − F) / r) / k,   r = D − k (C* − F),   or (C0 − F) / D where k = 0
 * </pre>
 *
 * <p>r is how fast oxygen still falls on reaching the floor F; where it is not positive the level
 * settles at or above the floor, and the answer is {@link Double#POSITIVE_INFINITY}. Written with
 * {@code log1p}, the one expression holds down to the smallest k without losing digits. It is the
 * textbook first-order balance; the level may start above C*, and exchange then carries oxygen out.
 *
 * <p>Nothing is allocated but the band; a call costs one logarithm. Pure; safe from any thread.
 */
public final class TimeToFloor {

  private static final double MINUTES_PER_HOUR = 60.0;

  private TimeToFloor() {}

  /**
   * Minutes until the floor.
   *
   * <p>With a supply that keeps running, pass the combined exchange and its equilibrium ({@link
   * Exchange#perHour()}, {@link Exchange#equilibriumMgPerL()}); a supply known as a constant rate
   * is taken off the demand, which may then be negative.
   *
   * @param oxygenMgPerL oxygen now, mg/L
   * @param floorMgPerL the floor, mg/L
   * @param exchangePerHour first-order exchange, 1/h; 0 for none
   * @param equilibriumMgPerL the level that exchange leads to, mg/L; for the water's surface, air
   *     saturation
   * @param demandMgPerLPerHour what the fish take from a litre of water, mg/L/h, less any constant
   *     supply
   * @return minutes; 0 where oxygen is at or below the floor already (also if it is rising);
   *     infinite where it never comes down to it
   * @throws IllegalArgumentException naming the argument, if one is not a finite number or the
   *     exchange is negative
   */
  public static double minutes(
      double oxygenMgPerL,
      double floorMgPerL,
      double exchangePerHour,
      double equilibriumMgPerL,
      double demandMgPerLPerHour) {
    requireFinite("oxygen", oxygenMgPerL, "mg/L");
    requireFinite("floor", floorMgPerL, "mg/L");
    requireFinite("exchange", exchangePerHour, "1/h");
    requireFinite("equilibrium", equilibriumMgPerL, "mg/L");
    requireFinite("demand", demandMgPerLPerHour, "mg/L/h");
    if (exchangePerHour < 0.0) {
      throw new IllegalArgumentException(
          "time to floor: exchange must be >= 0 1/h but was " + exchangePerHour);
    }
    double above = oxygenMgPerL - floorMgPerL;
    if (above <= 0.0) {
      return 0.0;
    }
    double k = exchangePerHour;
    double fallAtFloor = demandMgPerLPerHour - k * (equilibriumMgPerL - floorMgPerL);
    if (fallAtFloor <= 0.0) {
      return Double.POSITIVE_INFINITY;
    }
    double hours = k == 0.0 ? above / fallAtFloor : Math.log1p(k * above / fallAtFloor) / k;
    return hours * MINUTES_PER_HOUR;
  }

  /**
   * Minutes until the floor for a demand with its uncertainty: the high demand gives the low end.
   *
   * @return minutes; ends of the band may be infinite
   */
  public static Band minutes(
      double oxygenMgPerL,
      double floorMgPerL,
      double exchangePerHour,
      double equilibriumMgPerL,
      Band demandMgPerLPerHour) {
    return new Band(
        minutes(
            oxygenMgPerL,
            floorMgPerL,
            exchangePerHour,
            equilibriumMgPerL,
            demandMgPerLPerHour.high()),
        minutes(
            oxygenMgPerL,
            floorMgPerL,
            exchangePerHour,
            equilibriumMgPerL,
            demandMgPerLPerHour.likely()),
        minutes(
            oxygenMgPerL,
            floorMgPerL,
            exchangePerHour,
            equilibriumMgPerL,
            demandMgPerLPerHour.low()));
  }

  private static void requireFinite(String what, double value, String unit) {
    if (!Double.isFinite(value)) {
      throw new IllegalArgumentException(
          "time to floor: %s must be a finite number of %s but was %s"
              .formatted(what, unit, value));
    }
  }
}
