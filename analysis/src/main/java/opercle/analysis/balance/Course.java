// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.balance;

import java.util.Arrays;
import java.util.function.DoubleUnaryOperator;

/**
 * The course of a concentration over a trip or a stay, for what has no closed form: water that
 * warms on the way changes saturation, transfer and demand together.
 *
 * <pre>  dX/dt = gain(t) − loss(t) X</pre>
 *
 * <p>Exponential midpoint rule: over each step of at most half a minute gain and loss are taken as
 * they are at its middle, and the step is then exact. Of second order, and stable however large the
 * loss: a deep ceramic plate driven hard passes 400 1/h, where a Runge–Kutta step of that length
 * runs away. Immutable; safe from any thread.
 */
public final class Course {

  private static final double LONGEST_STEP_HOURS = 0.5 / 60.0;

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
   * @param gainMgPerLPerHour what comes in less what is taken, by hours since the start, mg/L/h
   * @param lossPerHour what goes for each mg/L that is there, by hours since the start, 1/h
   */
  public static Course follow(
      double startMgPerL,
      double hours,
      DoubleUnaryOperator gainMgPerLPerHour,
      DoubleUnaryOperator lossPerHour) {
    if (!(hours > 0.0 && hours <= 744.0)) {
      throw new IllegalArgumentException(
          "course of a concentration: duration %s h is outside 0–744 h".formatted(hours));
    }
    int steps = (int) Math.ceil(hours / LONGEST_STEP_HOURS);
    double h = hours / steps;
    double[] levels = new double[steps + 1];
    levels[0] = startMgPerL;
    for (int i = 0; i < steps; i++) {
      double middle = (i + 0.5) * h;
      double kh = lossPerHour.applyAsDouble(middle) * h;
      double share = kh < 1e-12 ? 1.0 : -Math.expm1(-kh) / kh; // of the gain that stays
      levels[i + 1] =
          levels[i] * Math.exp(-kh) + gainMgPerLPerHour.applyAsDouble(middle) * h * share;
    }
    return new Course(h, levels);
  }

  /** At the end, mg/L. */
  public double endMgPerL() {
    return levels[levels.length - 1];
  }

  /** At a time within the course, by straight lines between steps, mg/L; the end's after it. */
  public double atHours(double hours) {
    double x = hours / stepHours;
    if (!(x >= 0.0)) {
      throw new IllegalArgumentException(
          "course of a concentration: hours must be >= 0 but was " + hours);
    }
    if (x >= levels.length - 1) {
      return endMgPerL();
    }
    int i = (int) x;
    return levels[i] + (x - i) * (levels[i + 1] - levels[i]);
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
