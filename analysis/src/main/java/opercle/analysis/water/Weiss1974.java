// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.water;

import opercle.analysis.ValidRange;

/**
 * Solubility of carbon dioxide in fresh and salt water.
 *
 * <p>Weiss (1974), Mar. Chem. 2(3), 203–215, equation 12 with the coefficients for mol/(L·atm)
 * (from memory; they agree with his other set, for mol/(kg·atm), through the density of the water,
 * and within 1.5 % with handbook values). Range −1–40 °C, 0–40 g/kg. Stateless; any thread.
 */
public final class Weiss1974 {

  private static final String NAME = "carbon dioxide solubility, Weiss (1974)";
  private static final double CARBON_DIOXIDE_MG_PER_MOL = 44009.5;

  private static final ValidRange TEMPERATURE =
      new ValidRange(NAME, "temperature", -1.0, 40.0, "°C");
  private static final ValidRange SALINITY = new ValidRange(NAME, "salinity", 0.0, 40.0, "g/kg");
  private static final ValidRange FREE =
      new ValidRange(NAME, "carbon dioxide", 0.0, 2000.0, "mg/L");

  private Weiss1974() {}

  /**
   * Solubility K₀.
   *
   * @param temperatureC −1–40 °C
   * @param salinityGPerKg 0–40 g/kg
   * @return mol/(L·atm)
   */
  public static double molPerLAtm(double temperatureC, double salinityGPerKg) {
    double t = (TEMPERATURE.require(temperatureC) + 273.15) / 100.0;
    double salt = 0.027766 + t * (-0.025888 + t * 0.0050578);
    return Math.exp(
        -58.0931 + 90.5069 / t + 22.2940 * Math.log(t) + SALINITY.require(salinityGPerKg) * salt);
  }

  /**
   * Partial pressure of dissolved carbon dioxide, kPa.
   *
   * @param freeMgPerL free carbon dioxide, 0–2000 mg/L
   */
  public static double tensionKPa(double freeMgPerL, double temperatureC, double salinityGPerKg) {
    return FREE.require(freeMgPerL)
        / CARBON_DIOXIDE_MG_PER_MOL
        / molPerLAtm(temperatureC, salinityGPerKg)
        * AirPressure.ONE_ATMOSPHERE_KPA;
  }
}
