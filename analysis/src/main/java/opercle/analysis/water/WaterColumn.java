// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.water;

import opercle.analysis.ValidRange;

/** The pressure under water. */
public final class WaterColumn {

  /**
   * Pressure of one metre of water, kPa: standard gravity 9.80665 m/s² times 999.7 kg/m³, the
   * density of fresh water at 10 °C. Between 0 and 40 °C and up to 40 g/kg it is off by 3 % at
   * most.
   */
  public static final double KPA_PER_METRE = 9.80665 * 0.9997;

  private static final ValidRange DEPTH = new ValidRange("water column", "depth", 0.0, 10.0, "m");

  private WaterColumn() {}

  /**
   * Pressure at a depth.
   *
   * @param airKPa pressure of the air over the water, kPa absolute
   * @param depthM depth, 0–10 m
   * @return kPa absolute
   */
  public static double pressureKPa(double airKPa, double depthM) {
    return airKPa + KPA_PER_METRE * DEPTH.require(depthM);
  }
}
