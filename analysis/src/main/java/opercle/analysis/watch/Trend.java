// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

/**
 * A quantity over time: newest value, and the slope of an exponentially weighted least-squares line
 * through its past. A value; seconds inside, times in microseconds since 1970.
 *
 * <p>The sums are those of weighted linear regression with the origin of time kept at the newest
 * sample and that of the quantity at the first, so that they stay small however long the watch
 * runs.
 *
 * @param samples taken so far
 * @param last time of the newest
 * @param newest the newest value
 * @param origin the first value
 * @param w sum of weights
 * @param ww sum of squared weights
 * @param x weighted sum of times, seconds before the newest (negative)
 * @param xx of their squares
 * @param y weighted sum of values above the origin
 * @param xy of products
 * @param yy of squares
 */
record Trend(
    long samples,
    long last,
    double newest,
    double origin,
    double w,
    double ww,
    double x,
    double xx,
    double y,
    double xy,
    double yy) {

  static final Trend NOT_HEARD = new Trend(0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0);

  private static final double SHORTEST_MEMORY_SECONDS = 60.0;
  private static final double MEMORY_INTERVALS = 6.0;
  private static final int FEWEST_SAMPLES = 5;

  /** The memory of a trend that shows the present: a minute or six samples, if that is longer. */
  static double shortMemorySeconds(double intervalSeconds) {
    return Math.max(SHORTEST_MEMORY_SECONDS, MEMORY_INTERVALS * intervalSeconds);
  }

  /**
   * Takes a sample, later than the one before.
   *
   * @param memorySeconds time constant with which the past is forgotten
   */
  Trend next(long time, double value, double memorySeconds) {
    if (samples == 0) {
      return new Trend(1, time, value, value, 1, 1, 0, 0, 0, 0, 0);
    }
    double dt = Micros.seconds(time - last);
    double f = Math.exp(-dt / memorySeconds);
    double v = value - origin;
    double xxShifted = xx - 2.0 * dt * x + dt * dt * w;
    double xShifted = x - dt * w;
    double xyShifted = xy - dt * y;
    return new Trend(
        samples + 1,
        time,
        value,
        origin,
        f * w + 1.0,
        f * f * ww + 1.0,
        f * xShifted,
        f * xxShifted,
        f * y + v,
        f * xyShifted,
        f * yy + v * v);
  }

  /** Whether there are samples enough for a slope. */
  boolean hasSlope() {
    return samples >= FEWEST_SAMPLES && spread() > 1e-6;
  }

  /** Rate of change per minute; negative when falling. */
  double slopePerMinute() {
    return 60.0 * (w * xy - x * y) / (w * spread());
  }

  /** Standard error of the slope, per minute, for noise without memory. */
  double slopeErrorPerMinute() {
    double slope = slopePerMinute() / 60.0;
    double residual = Math.max(0.0, yy - y * y / w - slope * slope * spread()) / w;
    double effective = w * w / ww;
    double unbiased = residual * effective / Math.max(1.0, effective - 2.0);
    // The factor (ww/w)² is exact for equal weights, where it is 1, and for a long exponential
    // past,
    // where it is 1/4.
    return 60.0 * (ww / w) * Math.sqrt(unbiased / spread());
  }

  /**
   * The same, where the noise of the probe is known: with few samples their own scatter misleads.
   */
  double slopeErrorPerMinute(double noise) {
    return Math.max(slopeErrorPerMinute(), 60.0 * (ww / w) * noise / Math.sqrt(spread()));
  }

  /** How long ago the samples are that the line goes through, on weighted average, seconds. */
  double meanAgeSeconds() {
    return w > 0.0 ? -x / w : 0.0;
  }

  /** The weighted mean of the past. */
  double mean() {
    return origin + y / w;
  }

  /** The line's value at the newest sample. */
  double fitted() {
    return samples < 2 || spread() <= 1e-6
        ? newest
        : origin + y / w - x / w * slopePerMinute() / 60.0;
  }

  private double spread() {
    return xx - x * x / w;
  }
}
