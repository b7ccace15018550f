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

  ReceiverClock tick(long now) {
    double spacing = ticks == 0 || now < last ? spacingSeconds : Micros.seconds(now - last);
    return new ReceiverClock(Math.min(2, ticks + 1), now, spacing);
  }

  /** Whether a tick shows that the clock was put back. */
  boolean isPutBackBy(long now) {
    return ticks > 0 && now < last;
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
