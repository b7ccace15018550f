// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.balance;

import java.util.Arrays;

/**
 * The course of a concentration over a trip or a stay, for what has no closed form: water that
 * warms on the way changes saturation, transfer and demand together.
 *
 * <p>Classical Runge–Kutta of fourth order with a fixed step of at most half a minute. The balances
 * here are linear and slow (k under 20 1/h, so k·step under 0.2), where it is good to better than
 * one part in 10 000. Immutable; safe from any thread.
 */
public final class Course {

  private static final double LONGEST_STEP_HOURS = 0.5 / 60.0;

  /** How fast a concentration changes, mg/L/h. */
  @FunctionalInterface
  public interface Rate {

    /**
     * The rate of change.
     *
     * @param hours since the start, h
     * @param level concentration then, mg/L
     */
    double mgPerLPerHour(double hours, double level);
  }

  private final double stepHours;
  private final double[] levels;

  private Course(double stepHours, double[] levels) {
    this.stepHours = stepHours;
    this.levels = levels;
  }

  /**
   * Follows a concentration.
   *
   * @param startMgPerL at the start, mg/L
   * @param hours how long, above 0 and at most 31 days
   * @param rate how fast it changes
   */
  public static Course follow(double startMgPerL, double hours, Rate rate) {
    if (!(hours > 0.0 && hours <= 744.0)) {
      throw new IllegalArgumentException(
          "course of a concentration: duration %s h is outside 0–744 h".formatted(hours));
    }
    int steps = (int) Math.ceil(hours / LONGEST_STEP_HOURS);
    double h = hours / steps;
    double[] levels = new double[steps + 1];
    levels[0] = startMgPerL;
    for (int i = 0; i < steps; i++) {
      double t = i * h;
      double c = levels[i];
      double k1 = rate.mgPerLPerHour(t, c);
      double k2 = rate.mgPerLPerHour(t + 0.5 * h, c + 0.5 * h * k1);
      double k3 = rate.mgPerLPerHour(t + 0.5 * h, c + 0.5 * h * k2);
      double k4 = rate.mgPerLPerHour(t + h, c + h * k3);
      levels[i + 1] = c + h / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + k4);
    }
    return new Course(h, levels);
  }

  /** At the end, mg/L. */
  public double endMgPerL() {
    return levels[levels.length - 1];
  }

  /** The lowest on the way, mg/L. */
  public double lowestMgPerL() {
    return Arrays.stream(levels).min().orElseThrow();
  }

  /** The highest on the way, mg/L. */
  public double highestMgPerL() {
    return Arrays.stream(levels).max().orElseThrow();
  }

  /**
   * Minutes until it first comes down to a floor, by straight lines between steps; infinite where
   * it does not within the course.
   */
  public double minutesToFloor(double floorMgPerL) {
    for (int i = 0; i < levels.length; i++) {
      if (levels[i] <= floorMgPerL) {
        if (i == 0) {
          return 0.0;
        }
        double share = (levels[i - 1] - floorMgPerL) / (levels[i - 1] - levels[i]);
        return 60.0 * stepHours * (i - 1 + share);
      }
    }
    return Double.POSITIVE_INFINITY;
  }
}
