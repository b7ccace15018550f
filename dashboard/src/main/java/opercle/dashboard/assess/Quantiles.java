// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

import java.util.Arrays;
import java.util.OptionalDouble;
import java.util.stream.DoubleStream;

/** Quantiles by nearest rank: the smallest value that is not exceeded by so large a share. */
final class Quantiles {

  private Quantiles() {}

  /**
   * A quantile.
   *
   * @param values in any order; infinite where something never came
   * @param share above 0, at most 1
   * @return empty where there are no values, or where the quantile is one that never came
   */
  static OptionalDouble of(DoubleStream values, double share) {
    double[] sorted = values.toArray();
    if (sorted.length == 0) {
      return OptionalDouble.empty();
    }
    Arrays.sort(sorted);
    double value = sorted[(int) Math.ceil(share * sorted.length - 1e-9) - 1];
    return Double.isFinite(value) ? OptionalDouble.of(value) : OptionalDouble.empty();
  }

  static OptionalDouble median(DoubleStream values) {
    return of(values, 0.5);
  }
}
