// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

/** The standard normal distribution, as far as a detection limit needs it. */
final class NormalLaw {

  private static final double SERIES_BELOW = 3.0;
  private static final int FRACTION_TERMS = 80;
  private static final double FURTHEST = 37.0; // beyond it a tail is 0 in double precision
  private static final int BISECTIONS = 80;

  private NormalLaw() {}

  /**
   * The probability of a value above x. Abramowitz and Stegun 1964, 26.2.11 (series) for small x
   * and 26.2.14 (continued fraction) for the tail; to about 1e-14 absolute.
   */
  static double upperTail(double x) {
    if (x < 0.0) {
      return 1.0 - upperTail(-x);
    }
    double density = Math.exp(-0.5 * x * x) / Math.sqrt(2.0 * Math.PI);
    if (x < SERIES_BELOW) {
      double sum = 0.0;
      double term = x;
      for (int k = 1; term > 1e-17; k += 2) {
        sum += term;
        term *= x * x / (k + 2);
      }
      return 0.5 - density * sum;
    }
    double fraction = x;
    for (int k = FRACTION_TERMS; k >= 1; k--) {
      fraction = x + k / fraction;
    }
    return density / fraction;
  }

  /**
   * The value that is exceeded with a probability.
   *
   * @throws IllegalArgumentException if the probability is not between 0 and 1
   */
  static double upperQuantile(double probability) {
    if (!(probability > 0.0 && probability < 1.0)) {
      throw new IllegalArgumentException(
          "a normal quantile needs a probability between 0 and 1 but was given " + probability);
    }
    double low = -FURTHEST;
    double high = FURTHEST;
    for (int i = 0; i < BISECTIONS; i++) {
      double middle = 0.5 * (low + high);
      if (upperTail(middle) > probability) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return 0.5 * (low + high);
  }
}
