// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.util.ArrayList;
import java.util.List;

/**
 * The ways in which a fall may go on, fitted to its course.
 *
 * <p>Under the closed-tank balance {@code dC/dt = k (C* − C) − D}, and while part of the supply
 * still works, a fall slackens exponentially at the rate k of all that still exchanges oxygen:
 * {@code C(t) = C₀ − r (1 − e^(−kt))/k}. For each k of a ladder, C₀ and r are least squares through
 * the course, the newest part counting most; how well it fits, against how well its noise lets it,
 * weighs the k. The scatter about the best fit counts as often as its own memory (lag-one
 * correlation ρ, (1+ρ)/(1−ρ)) makes it.
 */
final class Paths {

  /**
   * Exchange rates tried, 1/h: from a still surface to a diffuser that holds its own; below zero
   * those of a fall that quickens, for a diffuser that goes on blocking, or fish that are roused.
   */
  private static final double[] PER_HOUR = {
    -3.0, -1.5, -0.7, -0.3, 0.03, 0.06, 0.12, 0.2, 0.35, 0.6, 1.0, 1.7, 3.0, 5.0
  };

  private static final double LONGEST_MEMORY_SECONDS = 1800.0;

  /** Water that moves past a probe is not all alike, standard deviation, mg/L (common practice). */
  private static final double EDDY_MG_PER_L = 0.02;

  /** What is older than this many memories says nothing any more. */
  private static final double MEMORIES = 5.0;

  private static final int FEWEST = 4;

  private Paths() {}

  /**
   * One way on.
   *
   * @param perMinute k, 1/min
   * @param mgPerL C now, as far as the probe shows it
   * @param levelSd standard deviation of that
   * @param ratePerMinute r now, (mg/L)/min, positive while falling
   * @param rateSd standard deviation of that
   * @param weight how likely, 0–1, all together 1
   */
  record Path(
      double perMinute,
      double mgPerL,
      double levelSd,
      double ratePerMinute,
      double rateSd,
      double weight) {

    /** The same without k having been tried: a rate that was found elsewhere. */
    static List<Path> of(double mgPerL, double rate, double rateSd, Expected expected) {
      List<Path> paths = new ArrayList<>(PER_HOUR.length);
      double sum = 0.0;
      for (double k : PER_HOUR) {
        sum += expected.exchangeDensity(k);
      }
      for (double k : PER_HOUR) {
        paths.add(new Path(k / 60.0, mgPerL, 0.0, rate, rateSd, expected.exchangeDensity(k) / sum));
      }
      return paths;
    }
  }

  /** Sums of the regression of a course on one shape. */
  private record Line(double level, double slope, double spread, double weight, double residual) {}

  /**
   * All ways on; empty while the course is too short.
   *
   * @param nowSeconds since the fall began
   * @param noise of one reading, mg/L
   */
  static List<Path> through(Course course, double nowSeconds, double noise, Expected expected) {
    int n = course.size();
    if (n < FEWEST) {
      return List.of();
    }
    double memory = Math.max(60.0, Math.min(LONGEST_MEMORY_SECONDS, nowSeconds));
    double[] ages = new double[n];
    double[] weights = new double[n];
    double[] values = new double[n];
    double effective = 0.0;
    for (int i = 0; i < n; i++) {
      Course.Stretch s = course.get(i);
      ages[i] = (nowSeconds - s.seconds()) / 60.0;
      double variance = noise * noise / s.readings() + EDDY_MG_PER_L * EDDY_MG_PER_L;
      double old = 60.0 * ages[i] / memory;
      double recent = old > MEMORIES ? 0.0 : Math.exp(-old); // its shape would grow beyond numbers
      weights[i] = recent / variance;
      values[i] = s.mgPerL();
      effective += recent;
    }
    Line[] lines = new Line[PER_HOUR.length];
    int best = 0;
    for (int j = 0; j < lines.length; j++) {
      lines[j] = fit(PER_HOUR[j] / 60.0, ages, weights, values);
      best = lines[j].residual < lines[best].residual ? j : best;
    }
    double inflation =
        Math.max(1.0, lines[best].residual / Math.max(1.0, effective - 3.0))
            * memoryOf(PER_HOUR[best] / 60.0, lines[best], ages, weights, values);
    double[] likelihood = new double[lines.length];
    double sum = 0.0;
    for (int j = 0; j < lines.length; j++) {
      double worse = (lines[j].residual - lines[best].residual) / inflation;
      likelihood[j] = expected.exchangeDensity(PER_HOUR[j]) * Math.exp(-0.5 * worse);
      sum += likelihood[j];
    }
    List<Path> paths = new ArrayList<>(lines.length);
    for (int j = 0; j < lines.length; j++) {
      paths.add(
          new Path(
              PER_HOUR[j] / 60.0,
              lines[j].level,
              Math.sqrt(inflation / lines[j].weight),
              lines[j].slope,
              Math.sqrt(inflation / lines[j].spread),
              likelihood[j] / sum));
    }
    return paths;
  }

  /** How much higher than now the water of that age stood, for a rate of one now. */
  private static double shape(double k, double ageMinutes) {
    return Math.expm1(k * ageMinutes) / k;
  }

  private static Line fit(double k, double[] ages, double[] weights, double[] values) {
    double w = 0.0;
    double x = 0.0;
    double xx = 0.0;
    double y = 0.0;
    double xy = 0.0;
    double yy = 0.0;
    double origin = values[values.length - 1];
    for (int i = 0; i < ages.length; i++) {
      if (weights[i] == 0.0) {
        continue;
      }
      double s = shape(k, ages[i]);
      double v = values[i] - origin;
      w += weights[i];
      x += weights[i] * s;
      xx += weights[i] * s * s;
      y += weights[i] * v;
      xy += weights[i] * s * v;
      yy += weights[i] * v * v;
    }
    double spread = Math.max(1e-9, xx - x * x / w);
    double slope = (xy - x * y / w) / spread;
    double residual = Math.max(0.0, yy - y * y / w - slope * slope * spread);
    return new Line(origin + (y - slope * x) / w, slope, spread, w, residual);
  }

  /** By how much the scatter's own memory makes it count less than its number, at least 1. */
  private static double memoryOf(
      double k, Line line, double[] ages, double[] weights, double[] values) {
    double products = 0.0;
    double squares = 1e-12;
    double before = 0.0;
    for (int i = 0; i < ages.length; i++) {
      if (weights[i] == 0.0) {
        continue;
      }
      double off = values[i] - line.level - line.slope * shape(k, ages[i]);
      products += off * before;
      squares += off * off;
      before = off;
    }
    double correlation = Math.max(0.0, Math.min(0.8, products / squares));
    return (1.0 + correlation) / (1.0 - correlation);
  }
}
