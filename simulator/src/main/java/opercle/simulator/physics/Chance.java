// SPDX-License-Identifier: Apache-2.0
package opercle.simulator.physics;

/**
 * Seeded chance that gives the same numbers on every Java version.
 *
 * <p>SplitMix64 (Steele, Lea &amp; Flood 2014, OOPSLA) for the bits, Marsaglia's polar method for
 * normal deviates. The JDK's own generators do not promise their normal deviates from one release
 * to the next, and a committed seed must mean the same night next year. Not for secrets. One thread
 * only.
 */
public final class Chance {

  private static final long GOLDEN_GAMMA = 0x9E3779B97F4A7C15L;

  private long state;
  private double spare = Double.NaN;

  /** Chance from a seed. */
  public Chance(long seed) {
    state = seed;
  }

  /**
   * Chance of its own for one part of a run, so that adding a probe or a tank leaves the numbers of
   * the others alone.
   *
   * @param seed the run's seed
   * @param part which part, for instance {@code "h1/water"}
   */
  public static Chance of(long seed, String part) {
    long h = seed;
    for (int i = 0; i < part.length(); i++) {
      h = mix(h + GOLDEN_GAMMA + part.charAt(i));
    }
    return new Chance(h);
  }

  /** The same chance from here on; drawing from one leaves the other alone. */
  public Chance copy() {
    Chance copy = new Chance(state);
    copy.spare = spare;
    return copy;
  }

  /** Sixty-four random bits. */
  public long nextLong() {
    state += GOLDEN_GAMMA;
    return mix(state);
  }

  /** Uniform in [0, 1). */
  public double uniform() {
    return (nextLong() >>> 11) * 0x1.0p-53;
  }

  /** Uniform in [low, high). */
  public double between(double low, double high) {
    return low + (high - low) * uniform();
  }

  /** Between two positive bounds, every doubling equally likely. */
  public double logBetween(double low, double high) {
    return low * StrictMath.pow(high / low, uniform());
  }

  /** Uniform in 0 … bound − 1. */
  public int below(int bound) {
    return (int) (uniform() * bound);
  }

  /** True with that probability. */
  public boolean happens(double probability) {
    return uniform() < probability;
  }

  /** Standard normal. */
  public double normal() {
    if (!Double.isNaN(spare)) {
      double z = spare;
      spare = Double.NaN;
      return z;
    }
    double u;
    double v;
    double s;
    do {
      u = 2.0 * uniform() - 1.0;
      v = 2.0 * uniform() - 1.0;
      s = u * u + v * v;
    } while (s >= 1.0 || s == 0.0);
    double m = Math.sqrt(-2.0 * StrictMath.log(s) / s);
    spare = v * m;
    return u * m;
  }

  /** A factor with median 1 whose logarithm has the given standard deviation. */
  public double factor(double logSd) {
    return StrictMath.exp(logSd * normal());
  }

  private static long mix(long z) {
    z = (z ^ (z >>> 30)) * 0xBF58476D1CE4E5B9L;
    z = (z ^ (z >>> 27)) * 0x94D049BB133111EBL;
    return z ^ (z >>> 31);
  }
}
