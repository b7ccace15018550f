// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

/**
 * How often a probe says the same twice, and for how long it has done so now: by that a stuck one
 * is told. A run of equal readings of a minute or more counts that would come about by chance once
 * in 10⁹ such runs, given how often this probe repeats itself in ordinary life. A coarse one, whose
 * changes are hardly ever more than its last digit, may repeat itself for hours, and is never taken
 * to be stuck.
 *
 * <p>The last digit of a stuck one may still go to and fro. So runs within one step of the last
 * digit are counted as well, in the same way; but as the water may just stand at the edge of a
 * digit, one that does so ordinarily is never taken to be stuck, nor is any before such a run is
 * three times the longest so far. A value.
 *
 * @param previous the newest reading; NaN where there is none
 * @param pairs readings compared with the one before, the old ones slowly forgotten
 * @param repeats those of them that were equal
 * @param leastChange the smallest change between two readings so far; infinite before the first
 * @param usualChange how much it changes on average when it does; 0 before the first
 * @param run equal readings up to now, less one; no more are counted than it takes to be stuck
 * @param runSeconds their length
 * @param stays readings within one step of all others of their run, the old ones slowly forgotten
 * @param low lowest reading of the present such run
 * @param high highest of it
 * @param stay readings of it, less one, counted like those of {@code run}
 * @param staySeconds its length
 * @param longestStaySeconds that of the longest before, slowly forgotten
 */
record Repeats(
    double previous,
    double pairs,
    double repeats,
    double leastChange,
    double usualChange,
    double run,
    double runSeconds,
    double stays,
    double low,
    double high,
    double stay,
    double staySeconds,
    double longestStaySeconds) {

  static final Repeats NONE =
      new Repeats(
          Double.NaN,
          0.0,
          0.0,
          Double.POSITIVE_INFINITY,
          0.0,
          0.0,
          0.0,
          0.0,
          Double.NaN,
          Double.NaN,
          0.0,
          0.0,
          0.0);

  private static final double STUCK_SECONDS = 60.0;
  private static final double STUCK_LOG_ODDS = Math.log(1e9);
  private static final double FEWEST_PAIRS = 60.0;
  private static final double MEMORY_PAIRS = 5000.0;
  private static final double CHANGES_MEMORY = 50.0;

  /** Noise of nine tenths of the last digit changes by this many of it on average. */
  private static final double FINE = 1.3;

  /** One step of the last digit, as far as binary fractions have it. */
  private static final double ONE_STEP = 1.5;

  /** Noise of eight tenths of the last digit stays within one step of it so often. */
  private static final double MOST_STAYS = 0.8;

  private static final double TOGGLING_SECONDS = 300.0;
  private static final double TOGGLING_TIMES_LONGEST = 3.0;

  /** So many readings make a record of how long such runs are. */
  private static final double FEWEST_FOR_RECORD = 500.0;

  /**
   * Takes a reading.
   *
   * @param dt seconds since the one before
   */
  Repeats next(double dt, double value) {
    if (Double.isNaN(previous)) {
      return new Repeats(
          value,
          pairs,
          repeats,
          leastChange,
          usualChange,
          0.0,
          0.0,
          stays,
          value,
          value,
          0.0,
          0.0,
          longestStaySeconds);
    }
    double change = Math.abs(value - previous);
    boolean same = change == 0.0;
    boolean learns = !isStuck() && !isToggling();
    double forget = learns ? 1.0 - 1.0 / MEMORY_PAIRS : 1.0;
    double learned = learns ? 1.0 : 0.0;
    double usual =
        same
            ? usualChange
            : usualChange == 0.0 ? change : usualChange + (change - usualChange) / CHANGES_MEMORY;
    double least = same ? leastChange : Math.min(leastChange, change);
    double lowest = Math.min(low, value);
    double highest = Math.max(high, value);
    boolean within = highest - lowest <= ONE_STEP * least;
    double longest =
        within || !learns ? longestStaySeconds : Math.max(longestStaySeconds, staySeconds);
    return new Repeats(
        value,
        forget * pairs + learned,
        forget * repeats + (same ? learned : 0.0),
        least,
        usual,
        same ? run + learned : 0.0,
        same ? runSeconds + dt : 0.0,
        forget * stays + (within ? learned : 0.0),
        within ? lowest : value,
        within ? highest : value,
        within ? stay + learned : 0.0,
        within ? staySeconds + dt : 0.0,
        forget * longest);
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

  /** Whether it does nothing but change its last digit, far longer than it ordinarily does. */
  boolean isToggling() {
    double ordinaryPairs = Math.max(0.0, pairs - stay);
    double ordinary = (Math.max(0.0, stays - stay) + 1.0) / (ordinaryPairs + 2.0);
    return ordinaryPairs >= FEWEST_FOR_RECORD
        && staySeconds >= Math.max(TOGGLING_SECONDS, TOGGLING_TIMES_LONGEST * longestStaySeconds)
        && ordinary <= MOST_STAYS
        && stay * -Math.log(ordinary) >= STUCK_LOG_ODDS;
  }

  /** Whether the newest reading is off all those of the run before. */
  boolean hasMoved() {
    return stay == 0.0;
  }

  /** The runs begin anew with the next reading. */
  Repeats broken() {
    return new Repeats(
        previous,
        pairs,
        repeats,
        leastChange,
        usualChange,
        0.0,
        0.0,
        stays,
        previous,
        previous,
        0.0,
        0.0,
        longestStaySeconds);
  }
}
