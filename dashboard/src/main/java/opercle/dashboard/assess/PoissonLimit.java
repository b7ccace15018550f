// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

/**
 * How large a rate may be although no more events than these were counted: the exact upper limit of
 * a Poisson mean. Garwood 1936, Biometrika 28, 437–442: the mean at which so few events would be
 * seen with a probability of only 1 − confidence. Equal to half a chi-square quantile with 2n + 2
 * degrees of freedom.
 */
final class PoissonLimit {

  private static final int BISECTIONS = 100;

  private PoissonLimit() {}

  /**
   * One-sided upper limit of the mean.
   *
   * @param events counted, 0 or more
   * @param confidence between 0 and 1, for instance 0.95
   */
  static double upper(int events, double confidence) {
    if (events < 0 || !(confidence > 0.0 && confidence < 1.0)) {
      throw new IllegalArgumentException(
          "a Poisson limit needs events >= 0 and a confidence between 0 and 1 but was given %d, %s"
              .formatted(events, confidence));
    }
    double low = events;
    double high = events + 10.0 - Math.log1p(-confidence) + 10.0 * Math.sqrt(events + 1.0);
    while (atMost(events, high) > 1.0 - confidence) {
      high *= 2.0;
    }
    if (atMost(events, low) < 1.0 - confidence) {
      low = 0.0;
    }
    for (int i = 0; i < BISECTIONS; i++) {
      double middle = 0.5 * (low + high);
      if (atMost(events, middle) > 1.0 - confidence) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return 0.5 * (low + high);
  }

  /** The probability of at most so many events at a mean, which falls as the mean grows. */
  private static double atMost(int events, double mean) {
    if (mean == 0.0) {
      return 1.0;
    }
    double logTerm = -mean;
    double sum = Math.exp(logTerm);
    for (int k = 1; k <= events; k++) {
      logTerm += Math.log(mean / k);
      sum += Math.exp(logTerm);
    }
    return sum;
  }
}
