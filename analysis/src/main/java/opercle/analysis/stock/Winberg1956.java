// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.stock;

import opercle.analysis.ValidRange;

/**
 * Routine oxygen consumption of quiet, unfed fish after Winberg (1956), brought to temperature with
 * Krogh's factors.
 *
 * <pre>
 *   Q = a W^b / q(T)     mL of oxygen an hour, W in g;   1 mL = 1.429 mg
 *   cyprinids a 0.336, b 0.80;   salmonids a 0.498, b 0.76
 * </pre>
 *
 * <p>Coefficients and q from memory. Two supports that were read: a Czech practice article gives
 * carp 40 and 120 mg/kg/h at 10 and 20 °C where this gives 45 and 121; and Ott et al. (1980)
 * measured 31 at rest at 10 °C. The salmonid form lies below the resting rate that Ott measured in
 * trout and is kept for comparison only; {@link OxygenDemand} does not use it.
 */
public enum Winberg1956 {
  CYPRINIDS(0.336, 0.80),
  SALMONIDS(0.498, 0.76);

  private static final ValidRange TEMPERATURE =
      new ValidRange(
          "Winberg (1956) with Krogh's factors",
          "temperature",
          KroghFactor.LOWEST_C,
          KroghFactor.HIGHEST_C,
          "°C");
  private static final double MG_PER_ML = 1.429;
  private static final double GRAMS_PER_KG = 1000.0;

  private final double a;
  private final double b;

  Winberg1956(double a, double b) {
    this.a = a;
    this.b = b;
  }

  /**
   * Routine rate of one fish, per kilogram.
   *
   * @param massKg body mass, kg
   * @param temperatureC water temperature, °C, 5–30
   * @return mg of oxygen per kg per hour
   * @throws IllegalArgumentException naming value and range, if the temperature is outside
   */
  public double mgPerKgPerHour(double massKg, double temperatureC) {
    return extended(massKg, TEMPERATURE.require(temperatureC));
  }

  /** The same, carried on beyond the table: only for a caller that widens and labels the result. */
  double extended(double massKg, double temperatureC) {
    double grams = massKg * GRAMS_PER_KG;
    return a * Math.pow(grams, b) * MG_PER_ML / massKg / KroghFactor.at(temperatureC);
  }
}
