// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.gas;

import opercle.analysis.Band;

/**
 * What the open surface of a tank lets through, with no gas fed: kLa at 20 °C, 1/h.
 *
 * <p>From memory, low confidence: 0.05–0.3 for a still tank, 0.3–1 for one that is moving on the
 * road; the likely value is the geometric mean. Wind, depth and a lid matter as much. Fit it to the
 * tank where the readings allow. It works both ways: water above air saturation loses oxygen.
 */
public enum SurfaceReaeration {
  /** A holding tank, or a transport tank that is parked. */
  STILL(0.05, 0.12, 0.3),
  /** A transport tank on the road. */
  MOVING(0.3, 0.55, 1.0);

  private final double low;
  private final double likely;
  private final double high;

  SurfaceReaeration(double low, double likely, double high) {
    this.low = low;
    this.likely = likely;
    this.high = high;
  }

  /**
   * kLa of the surface.
   *
   * @param temperatureC water temperature, 0–40 °C
   * @return 1/h
   */
  public Band kLaPerHour(double temperatureC) {
    return new Band(low, likely, high).times(Transfer.temperatureFactor(temperatureC));
  }
}
