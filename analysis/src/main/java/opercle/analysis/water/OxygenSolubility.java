// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.water;

/** The oxygen content of water in equilibrium with water-saturated air. */
public interface OxygenSolubility {

  /**
   * Equilibrium oxygen concentration.
   *
   * @param temperatureC water temperature, °C
   * @param salinityGPerKg salinity, g/kg
   * @param pressureKPa pressure of the air at the site, kPa absolute, not reduced to sea level
   * @return mg/L
   * @throws IllegalArgumentException naming the formula, the value and its range, if one is outside
   */
  double saturationMgPerL(double temperatureC, double salinityGPerKg, double pressureKPa);

  /** The same for conditions that travel together. */
  default double saturationMgPerL(WaterConditions water) {
    return saturationMgPerL(water.temperatureC(), water.salinityGPerKg(), water.pressureKPa());
  }
}
