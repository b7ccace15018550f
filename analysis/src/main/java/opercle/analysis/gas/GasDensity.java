// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.gas;

import opercle.analysis.ValidRange;

/** Density of the two gases that are fed, g/L, and the oxygen that a litre of either holds. */
public final class GasDensity {

  /** Oxygen at 15 °C and 101.325 kPa, g/L: Schmidt &amp; Wagner (1985). */
  public static final double OXYGEN_AT_15_C_G_PER_L = 1.35436;

  /** Dry air at 15 °C and 101.325 kPa, g/L: Lemmon et al. (2000). */
  public static final double AIR_AT_15_C_G_PER_L = 1.2255;

  /** Oxygen in dry air by mass: 0.20946 × 31.9988 / 28.9655. */
  public static final double OXYGEN_IN_AIR_BY_MASS = 0.2314;

  private static final double AIR_GRAMS_PER_MOLE = 28.9655;
  private static final double GAS_CONSTANT = 8.314463; // J/(mol K), CODATA 2018, rounded

  private static final ValidRange TEMPERATURE =
      new ValidRange("density of air", "temperature", -40.0, 60.0, "°C");
  private static final ValidRange PRESSURE =
      new ValidRange("density of air", "absolute pressure", 0.0, 200.0, "kPa");

  private GasDensity() {}

  /**
   * Density of oxygen, real gas.
   *
   * @param temperatureC −40–60 °C
   * @param pressureKPa 0–35,000 kPa absolute
   * @return g/L
   */
  public static double oxygenGPerL(double temperatureC, double pressureKPa) {
    return SchmidtWagner1985.densityGPerL(temperatureC, pressureKPa);
  }

  /**
   * Density of dry air as an ideal gas: within 0.15 % of Lemmon et al. (2000) at the pressures of
   * blowers.
   *
   * @param temperatureC −40–60 °C
   * @param pressureKPa 0–200 kPa absolute
   * @return g/L
   */
  public static double airGPerL(double temperatureC, double pressureKPa) {
    double kelvin = TEMPERATURE.require(temperatureC) + 273.15;
    return PRESSURE.require(pressureKPa) * AIR_GRAMS_PER_MOLE / (GAS_CONSTANT * kelvin);
  }
}
