// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.plan;

import opercle.analysis.Band;
import opercle.analysis.ValidRange;

/**
 * What fish like these were measured to breathe once settled: the farm's own figure, which a plan
 * takes in place of the published curve. It is carried to other temperatures along that curve.
 *
 * @param mgPerKgPerHour mg of oxygen per kg of fish and hour
 * @param temperatureC the water temperature that it holds for, °C
 * @param trips how many trips it stands on
 */
public record MeasuredRate(Band mgPerKgPerHour, double temperatureC, int trips) {

  private static final String PLAN = "load plan";

  /** What fish breathe, mg/kg/h: from near nothing to the smallest fry. */
  public static final ValidRange RATE =
      new ValidRange(PLAN, "measured rate", 1.0, 3000.0, "mg/kg/h");

  private static final ValidRange TEMPERATURE =
      new ValidRange(PLAN, "temperature of the measured rate", 0.0, 35.0, "°C");

  public MeasuredRate {
    RATE.require(mgPerKgPerHour.low());
    RATE.require(mgPerKgPerHour.high());
    TEMPERATURE.require(temperatureC);
    if (trips < 1) {
      throw new IllegalArgumentException(
          "load plan: a measured rate stands on at least 1 trip but was on " + trips);
    }
  }
}
