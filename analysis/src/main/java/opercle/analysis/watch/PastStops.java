// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

/**
 * The stops of one gas line that are over, while they follow one another within the hour. By them a
 * line that comes and goes is told from one that stops once. A value; times in microseconds.
 *
 * @param start when gas stopped last; {@link #NEVER} where it never has
 * @param end when that was over
 * @param startBefore when it stopped before that, within the hour; {@link #NEVER} where it did not
 * @param longestSeconds the longest of them
 */
record PastStops(long start, long end, long startBefore, double longestSeconds) {

  static final long NEVER = Long.MIN_VALUE;
  static final PastStops NONE = new PastStops(NEVER, NEVER, NEVER, 0.0);

  private static final double TOGETHER_SECONDS = 3600.0;
  private static final double LONGER = 1.2;
  private static final double LEAST_LONGER_SECONDS = 10.0;

  /** One more is over. */
  PastStops and(long from, long until) {
    double seconds = Micros.seconds(until - from);
    return start != NEVER && Micros.seconds(from - end) <= TOGETHER_SECONDS
        ? new PastStops(from, until, start, Math.max(longestSeconds, seconds))
        : new PastStops(from, until, NEVER, seconds);
  }

  /** Whether a stop that began then is the third within the hour, or a later one. */
  boolean makeThird(long from) {
    return startBefore != NEVER && Micros.seconds(from - startBefore) <= TOGETHER_SECONDS;
  }

  /** Whether a stop of so many seconds is clearly longer than all of them were. */
  boolean isOutlastedBy(double seconds) {
    return seconds >= Math.max(LONGER * longestSeconds, longestSeconds + LEAST_LONGER_SECONDS);
  }
}
