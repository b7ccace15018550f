// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

/**
 * The receiver's clock as far as ticks have told it; silence is judged by this one. A value; times
 * in microseconds since 1970.
 *
 * @param ticks how many there were, counted to two
 * @param last the newest tick
 * @param spacingSeconds between it and the one before
 */
record ReceiverClock(int ticks, long last, double spacingSeconds) {

  static final ReceiverClock NOT_HEARD = new ReceiverClock(0, 0, 0.0);

  /** A probe's clock may be this far off before the receiver's is believed instead. */
  private static final double TOLERANCE_SECONDS = 60.0;

  /** A longer gap between ticks than these is no passing of time that anybody listened through. */
  private static final double LONGEST_GAP_SECONDS = 30.0;

  private static final double LONGEST_GAP_SPACINGS = 4.0;

  ReceiverClock tick(long now) {
    double spacing = ticks == 0 || now < last ? spacingSeconds : Micros.seconds(now - last);
    return new ReceiverClock(Math.min(2, ticks + 1), now, spacing);
  }

  /**
   * By how much a tick shows the clock to have been put forward or back, or the receiver to have
   * been asleep, in microseconds; 0 where time has simply passed. Whoever was quiet then may have
   * spoken: that time is nobody's silence.
   */
  long steppedBy(long now) {
    if (ticks == 0) {
      return 0;
    }
    long gap = now - last;
    double longest = Math.max(LONGEST_GAP_SECONDS, LONGEST_GAP_SPACINGS * spacingSeconds);
    return gap < 0 || Micros.seconds(gap) > longest ? gap : 0;
  }

  /** When a reading of that time was heard, as near as can be told. */
  long heardAt(long time) {
    if (ticks == 0) {
      return time;
    }
    double tolerance = Math.max(TOLERANCE_SECONDS, 2.0 * spacingSeconds);
    return Math.abs(Micros.seconds(time - last)) <= tolerance ? Math.max(last, time) : last;
  }
}
