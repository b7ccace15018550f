// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

/**
 * The temperature that a tank's water usually has, and how far it ordinarily scatters: water does
 * not step away from it. A value.
 *
 * @param celsius of late, °C; NaN before the first
 * @param scatterC mean distance from that, °C
 */
record UsualTemperature(double celsius, double scatterC) {

  static final UsualTemperature NOT_HEARD = new UsualTemperature(Double.NaN, 0.0);

  private static final double LEAST_STEP_C = 0.2;
  private static final double STEP_SCATTERS = 5.0;
  private static final double MEMORY_SECONDS = 300.0;

  /** Whether that is further off than the water's temperature moves. */
  boolean isSteppedTo(double temperatureC) {
    return Math.abs(temperatureC - celsius) >= stepC();
  }

  private double stepC() {
    return Math.max(LEAST_STEP_C, STEP_SCATTERS * scatterC);
  }

  /**
   * Takes a temperature. One that has stepped moves nothing but the scatter: it is believed when it
   * stays, see {@link #movedTo}.
   *
   * @param dt seconds since the one before
   * @param temperatureC NaN where not known
   */
  UsualTemperature next(double dt, double temperatureC, double intervalSeconds) {
    if (Double.isNaN(temperatureC)) {
      return this;
    }
    if (Double.isNaN(celsius)) {
      return new UsualTemperature(temperatureC, scatterC);
    }
    double share = -Math.expm1(-dt / Math.max(MEMORY_SECONDS, 3.0 * intervalSeconds));
    double off = Math.abs(temperatureC - celsius);
    return new UsualTemperature(
        isSteppedTo(temperatureC) ? celsius : celsius + share * (temperatureC - celsius),
        scatterC + 0.1 * share * (Math.min(off, stepC()) - scatterC));
  }

  /** The water has that temperature from now on. */
  UsualTemperature movedTo(double temperatureC) {
    return new UsualTemperature(temperatureC, scatterC);
  }
}
