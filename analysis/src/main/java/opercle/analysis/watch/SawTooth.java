// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

/**
 * How far one probe's oxygen goes down and comes back where a timer shuts the gas off: by its own
 * record, a fall that gas does not end is told from those that it does. The detector of falls takes
 * such a saw for ordinary wander, as it is, and is all but blind then. A value.
 *
 * @param top where oxygen last began to go down, mg/L; NaN before the first reading
 * @param topAt when that was
 * @param bottom the lowest since
 * @param usualDepth how deep its teeth are, the deeper ones of late; mg/L
 * @param teeth how many there were; the first is none yet
 */
record SawTooth(double top, long topAt, double bottom, double usualDepth, int teeth) {

  static final SawTooth NOT_HEARD = new SawTooth(Double.NaN, 0, Double.NaN, 0.0, 0);

  /** A tooth is over when so much of it has come back (common practice, as all below). */
  private static final double BACK_SHARE = 0.3;

  private static final double LEAST_BACK_MG_PER_L = 0.1;
  private static final double LEAST_BACK_SDS = 3.0;

  /** Enough after any fall: water that was gassed for long begins far above where it stays. */
  private static final double MOST_BACK_MG_PER_L = 0.5;

  /** A deeper tooth is learned at once, that they have become shallower over some five. */
  private static final double MEMORY_TEETH = 5.0;

  private static final int FEWEST_TEETH = 4;

  /** So much deeper than usual is another matter. */
  private static final double DEEPER = 1.5;

  private static final double LEAST_DEPTH_MG_PER_L = 0.5;

  /**
   * Takes a reading.
   *
   * @param mgPerL smoothed over a minute or so
   * @param noise standard deviation of the probe's noise, mg/L
   */
  SawTooth next(long time, double mgPerL, double noise) {
    if (!(mgPerL < top)) {
      return new SawTooth(mgPerL, time, mgPerL, usualDepth, teeth);
    }
    double lowest = Math.min(bottom, mgPerL);
    double depth = top - lowest;
    double back =
        Math.max(
            Math.min(BACK_SHARE * depth, MOST_BACK_MG_PER_L),
            Math.max(LEAST_BACK_MG_PER_L, LEAST_BACK_SDS * noise));
    if (mgPerL - lowest < back) {
      return new SawTooth(top, topAt, lowest, usualDepth, teeth);
    }
    if (teeth == 0) {
      return new SawTooth(mgPerL, time, mgPerL, usualDepth, 1); // what came before the first one
    }
    double counts = teeth < FEWEST_TEETH ? depth : Math.min(depth, DEEPER * usualDepth);
    double usual = Math.max(counts, usualDepth + (counts - usualDepth) / MEMORY_TEETH);
    return new SawTooth(mgPerL, time, mgPerL, usual, teeth + 1);
  }

  /** How deep the present one is, mg/L. */
  double depth() {
    return top - bottom;
  }

  /** Whether there were enough of them to know their depth. */
  boolean isKnown() {
    return teeth >= FEWEST_TEETH;
  }

  /** Whether the present one is no deeper than they are as a rule; unknown is no. */
  boolean isUsual() {
    return isKnown() && depth() < DEEPER * usualDepth;
  }

  /** Whether oxygen has gone down for so many seconds, and much further than it does as a rule. */
  boolean goesOn(long time, double seconds) {
    return isKnown()
        && depth() >= Math.max(LEAST_DEPTH_MG_PER_L, DEEPER * usualDepth)
        && Micros.seconds(time - topAt) >= seconds;
  }

  /** The fall that it is then. */
  Fall fall(long time, Trend trend) {
    double rate = depth() / (Micros.seconds(time - topAt) / 60.0);
    return new Fall(
        true,
        topAt,
        time,
        top,
        rate,
        0.25 * rate,
        0.0,
        bottom,
        trend,
        Course.EMPTY,
        Fall.FALLING,
        false);
  }
}
