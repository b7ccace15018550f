// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

/**
 * Order and rhythm of one series: which readings are news, how often they come, and whether they
 * have stopped. A value; times are microseconds since 1970, see {@link Micros}.
 *
 * <p>A reading is taken when it is later than the last one taken. One that is not is a duplicate or
 * comes late, and is refused: state never moves backwards. A probe whose clock has stepped back
 * would be refused for ever by that, so that a run of late readings, in order among themselves and
 * with nothing newer between, counts as a step: its times are then shifted to carry on from the
 * last one, until the probe's clock has caught up.
 *
 * @param taken readings taken so far
 * @param last time of the newest reading taken
 * @param heardAt when that was heard, by the receiver's clock
 * @param learnedSeconds seconds between readings; 0 before there are two
 * @param shift what a stepped clock's times are shifted by
 * @param lateReadings length of the present run of late readings
 * @param firstLate time of the first of that run
 * @param lastLate time of the last of that run
 */
record Rhythm(
    long taken,
    long last,
    long heardAt,
    double learnedSeconds,
    long shift,
    int lateReadings,
    long firstLate,
    long lastLate) {

  static final Rhythm NOT_HEARD = new Rhythm(0, 0, 0, 0.0, 0, 0, 0, 0);

  private static final int STEP_READINGS = 4;
  private static final double STEP_SECONDS = 30.0;
  private static final double STEP_INTERVALS = 3.0;

  /** Before a second reading tells the interval. */
  private static final double ASSUMED_INTERVAL_SECONDS = 60.0;

  private static final double LEARNING_RATE = 0.2;

  /**
   * Offers a reading; it was taken if {@link #taken()} went up, at the time {@link #last()}.
   *
   * @param time the reading's own time
   * @param heard when it was heard, by the receiver's clock
   */
  Rhythm next(long time, long heard) {
    if (taken == 0 || time > last) {
      return take(time, heard, 0); // its clock is right, or has caught up
    }
    long shifted = time + shift;
    if (shifted > last) {
      return take(shifted, heard, shift);
    }
    if (shifted == last) {
      return this;
    }
    boolean goesOn = lateReadings > 0 && shifted > lastLate;
    long first = goesOn ? firstLate : shifted;
    int run = goesOn ? lateReadings + 1 : 1;
    double needed = Math.max(STEP_SECONDS, STEP_INTERVALS * intervalSeconds());
    if (run >= STEP_READINGS && Micros.seconds(shifted - first) >= needed) {
      long carriedOn = last + Micros.of(intervalSeconds());
      return take(carriedOn, heard, shift + carriedOn - shifted);
    }
    return new Rhythm(taken, last, heardAt, learnedSeconds, shift, run, first, shifted);
  }

  private Rhythm take(long time, long heard, long newShift) {
    double interval = 0.0;
    if (taken > 0) {
      double gap = Micros.seconds(time - last);
      // One long gap must not stretch the interval, nor one burst shrink it.
      double bounded = Math.max(0.5 * learnedSeconds, Math.min(2.0 * learnedSeconds, gap));
      interval = taken == 1 ? gap : learnedSeconds + LEARNING_RATE * (bounded - learnedSeconds);
    }
    return new Rhythm(taken + 1, time, heard, interval, newShift, 0, 0, 0);
  }

  /** Seconds between readings as learned. */
  double intervalSeconds() {
    return taken > 1 ? learnedSeconds : ASSUMED_INTERVAL_SECONDS;
  }

  /** Whether it has ever spoken. */
  boolean hasSpoken() {
    return taken > 0;
  }

  /** Seconds since it was last heard, by the receiver's clock. */
  double quietSeconds(long now) {
    return Micros.seconds(now - heardAt);
  }

  /** The receiver's clock has stepped, forward or back: how long it has been quiet stays. */
  Rhythm heardLaterBy(long micros) {
    return new Rhythm(
        taken, last, heardAt + micros, learnedSeconds, shift, lateReadings, firstLate, lastLate);
  }

  /** The time of the newest reading taken, as its probe gave it. */
  long lastAsGiven() {
    return last - shift;
  }

  /** Seconds of quiet after which the probe counts as silent: five intervals, at least a minute. */
  double silentAfterSeconds() {
    return Math.max(60.0, 5.0 * intervalSeconds());
  }

  /** Whether it has spoken and then been quiet for too long. */
  boolean isSilent(long now) {
    return hasSpoken() && quietSeconds(now) >= silentAfterSeconds();
  }

  /** How long a value may stand for the present: three intervals, at least 30 s. */
  double freshForSeconds() {
    return Math.max(30.0, 3.0 * intervalSeconds());
  }

  /** Whether its newest value may still stand for the present. */
  boolean isFresh(long now) {
    return hasSpoken() && Micros.seconds(now - last) <= freshForSeconds();
  }
}
