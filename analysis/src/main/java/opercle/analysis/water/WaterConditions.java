// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.water;

/**
 * What the oxygen content of a water depends on. The formulas check the ranges, each its own.
 *
 * @param temperatureC water temperature, °C
 * @param salinityGPerKg salinity, g/kg
 * @param pressureKPa pressure of the air over it, kPa absolute, not reduced to sea level
 */
public record WaterConditions(double temperatureC, double salinityGPerKg, double pressureKPa) {

  /** Fresh water under one standard atmosphere. */
  public static WaterConditions fresh(double temperatureC) {
    return new WaterConditions(temperatureC, 0.0, AirPressure.ONE_ATMOSPHERE_KPA);
  }
}
