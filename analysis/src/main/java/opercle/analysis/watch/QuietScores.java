// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.util.Arrays;
import java.util.List;

/**
 * How far the scores of one tank's ordinary life scatter, for short and long falls apart. By the
 * model they are standard normal; where they scatter more, the model misses something of this tank,
 * and the evidence asked for goes up with them.
 *
 * <p>Mean squares over some hours. A score of ten minutes' age has hardly a dozen independent ones
 * in two hours, so that its mean square scatters by chance, by √(2/n): up to one standard error
 * above 1 it means nothing. Not thread-safe.
 */
final class QuietScores {

  private static final double MEMORY_SECONDS = 6.0 * 3600.0;
  private static final double PRIOR_SECONDS = 1800.0;

  /** One strange moment must not pass for a restless tank: no score counts for more. */
  private static final double CLIP = 4.0;

  /** A pause in the readings counts for no longer, seconds. */
  private static final double LONGEST_SECONDS = 60.0;

  /** Seconds, and score squared times seconds, of quiet life, for each of {@link Onsets#AGES}. */
  private final double[] seconds = new double[Onsets.AGES.length];

  private final double[] squares = new double[Onsets.AGES.length];

  QuietScores() {
    Arrays.fill(seconds, PRIOR_SECONDS);
    Arrays.fill(squares, PRIOR_SECONDS);
  }

  /**
   * Takes the scores after a reading of quiet water.
   *
   * @param dt seconds since the one before
   */
  void accept(double dt, Onsets onsets) {
    double forget = Math.exp(-dt / MEMORY_SECONDS);
    double counted = Math.min(dt, LONGEST_SECONDS);
    for (int k = 0; k < squares.length; k++) {
      double z = onsets.scoreAtAge(k);
      if (!Double.isNaN(z)) {
        seconds[k] = forget * seconds[k] + counted;
        squares[k] = forget * squares[k] + counted * Math.min(CLIP * CLIP, z * z);
      }
    }
  }

  /** Standard deviation of ordinary scores of falls of that age, seconds; at least 1. */
  double scatter(double age) {
    int k = 0;
    while (k < Onsets.AGES.length - 1 && age > 2.0 * Onsets.AGES[k]) {
      k++;
    }
    double chance = 1.0 + Math.sqrt(2.0 * Onsets.AGES[k] / seconds[k]);
    return Math.sqrt(Math.max(1.0, squares[k] / seconds[k] / chance));
  }

  List<Double> seconds() {
    return Arrays.stream(seconds).boxed().toList();
  }

  List<Double> squares() {
    return Arrays.stream(squares).boxed().toList();
  }

  static QuietScores of(List<Double> seconds, List<Double> squares) {
    QuietScores q = new QuietScores();
    for (int k = 0; k < q.seconds.length; k++) {
      q.seconds[k] = seconds.get(k);
      q.squares[k] = squares.get(k);
    }
    return q;
  }
}
