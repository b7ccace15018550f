// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.water;

import opercle.analysis.ValidRange;

/**
 * The pressure of the standard atmosphere: ISO 2533 / US Standard Atmosphere 1976. Weather moves
 * the true pressure by up to 4 % either way; a barometer at the tank is better.
 */
public final class AirPressure {

  /** One standard atmosphere, kPa. */
  public static final double ONE_ATMOSPHERE_KPA = 101.325;

  private static final ValidRange ALTITUDE =
      new ValidRange("standard atmosphere", "altitude", -500.0, 5000.0, "m");

  private AirPressure() {}

  /**
   * Pressure at an altitude. The short formula takes the altitude for a geopotential one: 0.02 %
   * off at 3000 m.
   *
   * @param altitudeM metres above sea level, −500 to 5000
   * @return kPa absolute
   * @throws IllegalArgumentException naming value and range, if outside
   */
  public static double atAltitudeKPa(double altitudeM) {
    return ONE_ATMOSPHERE_KPA * Math.pow(1.0 - 2.25577e-5 * ALTITUDE.require(altitudeM), 5.25588);
  }
}
