// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.util.Random;

/**
 * Oxygen as one probe tells it: a level that wanders as an Ornstein–Uhlenbeck process of one hour,
 * from some moment on a straight fall, seen through a first-order lag, with white noise and
 * rounding to 0.01 mg/L; the model of the detection notes.
 */
final class Signals {

  private static final double WANDER_SECONDS = 3600.0;

  private final Random random;
  private final double interval;
  private final double noise;
  private final double wander;
  private final double lag;
  private double drift;
  private double now;
  private double onset = Double.POSITIVE_INFINITY;
  private double rate;

  Signals(long seed, double interval, double noise, double t90, double wander) {
    this.random = new Random(seed);
    this.interval = interval;
    this.noise = noise;
    this.wander = wander;
    this.lag = t90 / 2.303;
    this.drift = wander * random.nextGaussian();
  }

  /** A fall of that rate, (mg/L)/min, from a random moment within the sampling interval after. */
  Signals fallingFrom(double second, double ratePerMinute) {
    onset = second + interval * random.nextDouble();
    rate = ratePerMinute / 60.0;
    return this;
  }

  double next() {
    now += interval;
    double kept = Math.exp(-interval / WANDER_SECONDS);
    drift = kept * drift + wander * Math.sqrt(1.0 - kept * kept) * random.nextGaussian();
    double t = Math.max(0.0, now - onset);
    double fallen = rate * (t - lag * (1.0 - Math.exp(-t / lag)));
    return Math.round(100.0 * (9.0 + drift - fallen + noise * random.nextGaussian())) / 100.0;
  }

  double now() {
    return now;
  }

  double onset() {
    return onset;
  }
}
