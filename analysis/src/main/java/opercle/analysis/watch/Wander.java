// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.stream.IntStream;

/**
 * How restless one probe's oxygen ordinarily is: its noise from sample to sample, and how fast the
 * water itself wanders. Ordinary wander, far more than noise, decides how often a detector of falls
 * cries wolf, so both are learned from the tank's own record.
 *
 * <p>A handful of local-level filters (a random walk seen through white noise; Muth 1960, from
 * memory) run side by side, each with its own ratio of wander to noise. Each is scored by how well
 * it foretold the readings of the last hours: its Gaussian likelihood with the noise eliminated.
 * The ratio in force is the mean of the logarithms weighted by that score and by what was believed
 * beforehand, and somewhat more: while little is known, much wander is allowed for.
 *
 * <p>mg/L and seconds. Not thread-safe.
 */
final class Wander {

  /** Wander variance per second over noise variance, 1/s: from a still tank to a stream. */
  private static final double LEAST_RATIO = 3e-6;

  private static final double LOG_STEP = 0.5 * Math.log(10.0);
  private static final int COUNT = 11;
  private static final double[] LOG_RATIOS =
      IntStream.range(0, COUNT).mapToDouble(j -> Math.log(LEAST_RATIO) + j * LOG_STEP).toArray();
  private static final double[] RATIOS = Arrays.stream(LOG_RATIOS).map(Math::exp).toArray();

  /** What is believed before anything is heard, mg/L; worth {@link #PRIOR_SAMPLES} samples. */
  private static final double PRIOR_NOISE = 0.05;

  private static final double PRIOR_SAMPLES = 8.0;

  /** With the noise above, a wander of about 0.07 mg/L in an hour, give or take fivefold. */
  private static final double PRIOR_LOG_RATIO = Math.log(1e-3);

  private static final double PRIOR_LOG_RATIO_SD = 1.5;

  /** The wander in force is so far above its estimate, standard deviations: rather restless. */
  private static final double CAUTION = 0.4;

  /** No probe is better than this, mg/L. */
  private static final double LEAST_NOISE = 0.008;

  private static final double MEMORY_SECONDS = 4.0 * 3600.0;

  /**
   * Surprises beyond this many standard deviations count as this many: a glitch teaches nothing.
   */
  private static final double CLIP = 4.0;

  /** The filters are weighed with every so manyth reading: what they say changes in minutes. */
  private static final int EVERY = 8;

  private static final double SETTLED_READINGS = 64.0;

  private boolean started;
  private double weight;
  private final double[] means = new double[COUNT];
  private final double[] variances = new double[COUNT];
  private final double[] logs = new double[COUNT];
  private final double[] squares = new double[COUNT];

  /** Of the foretold variances since the filters were last weighed, which needs their logarithm. */
  private final double[] products = new double[COUNT];

  private final double[] scores = new double[COUNT];
  private int pending;
  private double noise = PRIOR_NOISE;
  private double ratio = Math.exp(PRIOR_LOG_RATIO);

  Wander() {
    Arrays.fill(squares, PRIOR_SAMPLES * PRIOR_NOISE * PRIOR_NOISE);
    Arrays.fill(products, 1.0);
  }

  /**
   * One of the filters, as a value.
   *
   * @param mean level, mg/L
   * @param variance of the level, in noise variances
   * @param logs sum of the logarithms of its foretold variances
   * @param squares sum of its squared surprises, each over its foretold variance, (mg/L)²
   * @param product of foretold variances not yet in {@code logs}
   */
  record Filter(double mean, double variance, double logs, double squares, double product) {}

  /** The whole of it as a value. */
  record Snapshot(
      boolean started,
      double weight,
      List<Filter> filters,
      int pending,
      double noise,
      double ratio) {}

  /**
   * Takes a reading of quiet water.
   *
   * @param dt seconds since the one before
   */
  void accept(double dt, double mgPerL) {
    if (!started) {
      startAgain(mgPerL);
      return;
    }
    double forget = Math.exp(-dt / MEMORY_SECONDS);
    double samples = weight + PRIOR_SAMPLES;
    weight = forget * weight + 1.0;
    for (int j = 0; j < COUNT; j++) {
      double p = variances[j] + RATIOS[j] * dt;
      double s = p + 1.0;
      double limit = CLIP * CLIP * s * squares[j] / samples;
      double surprise = mgPerL - means[j];
      double square = surprise * surprise;
      if (square > limit) {
        square = limit;
        surprise = Math.copySign(Math.sqrt(limit), surprise);
      }
      means[j] += p / s * surprise;
      variances[j] = p / s;
      squares[j] = forget * squares[j] + square / s;
      logs[j] *= forget;
      products[j] *= s;
    }
    pending++;
    if (pending >= EVERY || weight < SETTLED_READINGS) {
      weigh();
    }
  }

  private void weigh() {
    for (int j = 0; j < COUNT; j++) {
      logs[j] += Math.log(products[j]);
      products[j] = 1.0;
    }
    pending = 0;
    int best = 0;
    for (int j = 0; j < COUNT; j++) {
      scores[j] = score(j);
      best = scores[j] > scores[best] ? j : best;
    }
    noise = Math.max(LEAST_NOISE, Math.sqrt(noiseVariance(best)));
    ratio = Math.exp(LOG_RATIOS[best] + LOG_STEP * between(best));
  }

  /** Where the top of the scores lies, and some caution beyond it, in steps from the best one. */
  private double between(int best) {
    if (best == 0 || best == COUNT - 1) {
      return 0.0;
    }
    // A parabola through the three scores: its top, and its curvature for the standard deviation.
    double slope = 0.5 * (scores[best + 1] - scores[best - 1]);
    double curvature = 2.0 * scores[best] - scores[best + 1] - scores[best - 1];
    if (curvature <= 0.0) {
      return 0.0;
    }
    return Math.min(1.0, slope / curvature + CAUTION / Math.sqrt(curvature));
  }

  private double score(int j) {
    double z = (LOG_RATIOS[j] - PRIOR_LOG_RATIO) / PRIOR_LOG_RATIO_SD;
    return -0.5 * (weight * Math.log(noiseVariance(j)) + logs[j] + z * z);
  }

  private double noiseVariance(int j) {
    return squares[j] / (weight + PRIOR_SAMPLES);
  }

  /** The level has changed for a known reason, or a fall is over: what was learned stays. */
  void startAgain(double mgPerL) {
    started = true;
    Arrays.fill(means, mgPerL);
    Arrays.fill(variances, 1.0);
  }

  /** Standard deviation of the probe's noise, mg/L. */
  double noise() {
    return noise;
  }

  /** Variance that the water's wander gains, (mg/L)² per second. */
  double variancePerSecond() {
    return ratio * noise * noise;
  }

  /** Wander variance per second over noise variance, 1/s. */
  double ratio() {
    return ratio;
  }

  Snapshot snapshot() {
    List<Filter> filters = new ArrayList<>(COUNT);
    for (int j = 0; j < COUNT; j++) {
      filters.add(new Filter(means[j], variances[j], logs[j], squares[j], products[j]));
    }
    return new Snapshot(started, weight, List.copyOf(filters), pending, noise, ratio);
  }

  static Wander of(Snapshot s) {
    Wander w = new Wander();
    w.started = s.started();
    w.weight = s.weight();
    w.pending = s.pending();
    w.noise = s.noise();
    w.ratio = s.ratio();
    for (int j = 0; j < COUNT; j++) {
      Filter f = s.filters().get(j);
      w.means[j] = f.mean();
      w.variances[j] = f.variance();
      w.logs[j] = f.logs();
      w.squares[j] = f.squares();
      w.products[j] = f.product();
    }
    return w;
  }
}
