// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.stock;

import opercle.analysis.ValidRange;

/**
 * How a permissible load changes with temperature: 5.56 % of the load at 52 °F (11.1 °C) for each
 * degree Fahrenheit, linear. Piper et al. (1982), Fish Hatchery Management, p. 356 (read); worked
 * there for 9-inch trout from 47 to 57 °F (8.3–13.9 °C).
 */
public final class PiperLoadTemperature {

  /** The range of the worked example, °C. */
  public static final double LOWEST_C = (47.0 - 32.0) / 1.8;

  /** The range of the worked example, °C. */
  public static final double HIGHEST_C = (57.0 - 32.0) / 1.8;

  private static final double REFERENCE_F = 52.0;
  private static final double PER_DEGREE_F = 0.0556;

  private static final ValidRange TEMPERATURE =
      new ValidRange("Piper et al. (1982) load", "temperature", LOWEST_C, HIGHEST_C, "°C");

  private PiperLoadTemperature() {}

  /**
   * Permissible load over that at 52 °F (11.1 °C).
   *
   * @param temperatureC 8.3–13.9 °C
   * @throws IllegalArgumentException naming value and range, if outside
   */
  public static double factor(double temperatureC) {
    double fahrenheit = 1.8 * TEMPERATURE.require(temperatureC) + 32.0;
    return 1.0 - PER_DEGREE_F * (fahrenheit - REFERENCE_F);
  }
}
