// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

/**
 * How often a probe says the same twice, and for how long it has done so now: by that a stuck one
 * is told. A run of equal readings of a minute or more counts that would come about by chance once
 * in 10⁹ such runs, given how often this probe repeats itself in ordinary life. A coarse one, whose
 * changes are hardly ever more than its last digit, may repeat itself for hours, and is never taken
 * to be stuck. A value.
 *
 * @param previous the newest reading; NaN where there is none
 * @param pairs readings compared with the one before, the old ones slowly forgotten
 * @param repeats those of them that were equal
 * @param leastChange the smallest change between two readings so far; infinite before the first
 * @param usualChange how much it changes on average when it does; 0 before the first
 * @param run equal readings up to now, less one
 * @param runSeconds their length
 */
record Repeats(
    double previous,
    double pairs,
    double repeats,
    double leastChange,
    double usualChange,
    double run,
    double runSeconds) {

  static final Repeats NONE =
      new Repeats(Double.NaN, 0.0, 0.0, Double.POSITIVE_INFINITY, 0.0, 0.0, 0.0);

  private static final double STUCK_SECONDS = 60.0;
  private static final double STUCK_LOG_ODDS = Math.log(1e9);
  private static final double FEWEST_PAIRS = 60.0;
  private static final double MEMORY_PAIRS = 5000.0;
  private static final double CHANGES_MEMORY = 50.0;

  /** Noise of nine tenths of the last digit changes by this many of it on average. */
  private static final double FINE = 1.3;

  /**
   * Takes a reading.
   *
   * @param dt seconds since the one before
   */
  Repeats next(double dt, double value) {
    if (Double.isNaN(previous)) {
      return new Repeats(value, pairs, repeats, leastChange, usualChange, 0.0, 0.0);
    }
    double change = Math.abs(value - previous);
    boolean same = change == 0.0;
    boolean learns = !isStuck();
    double forget = 1.0 - 1.0 / MEMORY_PAIRS;
    double usual =
        same
            ? usualChange
            : usualChange == 0.0 ? change : usualChange + (change - usualChange) / CHANGES_MEMORY;
    return new Repeats(
        value,
        learns ? forget * pairs + 1.0 : pairs,
        learns ? forget * repeats + (same ? 1.0 : 0.0) : repeats,
        same ? leastChange : Math.min(leastChange, change),
        usual,
        same ? run + 1.0 : 0.0,
        same ? runSeconds + dt : 0.0);
  }

  /** Whether it repeats one value, far longer than it ordinarily does. */
  boolean isStuck() {
    // The run itself must not count as ordinary life, and without such a life nobody can tell.
    double ordinaryPairs = Math.max(0.0, pairs - run);
    double ordinary = (Math.max(0.0, repeats - run) + 1.0) / (ordinaryPairs + 2.0);
    return ordinaryPairs >= FEWEST_PAIRS
        && runSeconds >= STUCK_SECONDS
        && usualChange >= FINE * leastChange
        && run * -Math.log(ordinary) >= STUCK_LOG_ODDS;
  }

  /** The run begins anew with the next reading. */
  Repeats broken() {
    return new Repeats(previous, pairs, repeats, leastChange, usualChange, 0.0, 0.0);
  }
}
