// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

/**
 * Whether a probe stands in air: it came, faster than water can, from elsewhere to about where air
 * saturates water, and has stood there level ever since. A probe that was lifted out and forgotten
 * looks well, but would show no fall.
 *
 * <p>Healthy tanks are near saturation too, so that the level alone says nothing: it takes the
 * step, a level that is neither that before the step nor the tank's usual one, and a stillness that
 * water seldom has ({@link AirStay}). All levels are oxygen over its saturation with air, so that a
 * change of temperature moves none of them. The figures are <i>common practice</i>. A value.
 *
 * @param newest mean of the last quarter minute; NaN before the first reading
 * @param minute mean of the last minute
 * @param earlier mean of the last ten minutes
 * @param usual of the tank, which follows slowly, and the slower the longer it is known: what a
 *     bubble has done in an hour must not become usual
 * @param knownSeconds for how long the tank has been known
 * @param stay near saturation after a step
 * @param seeingSeconds since it last stood in air
 */
record AirLevel(
    double newest,
    double minute,
    double earlier,
    double usual,
    double knownSeconds,
    AirStay stay,
    double seeingSeconds) {

  static final AirLevel NOT_HEARD = new AirLevel(Double.NaN, 0.0, 0.0, 0.0, 0.0, AirStay.NONE, 1e9);

  private static final double NEWEST_SECONDS = 15.0;
  private static final double MINUTE_SECONDS = 60.0;
  private static final double EARLIER_SECONDS = 600.0;
  private static final double MOST_UNUSUAL = 0.08;
  private static final double LEAST_USUAL_SECONDS = 600.0;
  private static final double MOST_USUAL_SECONDS = 7200.0;

  /**
   * The last quarter minute is off the last minute by this after a step of a twentieth behind a
   * probe's lag of half a minute; or while water gains or loses 0.3 mg/L in a minute.
   */
  private static final double STEP = 0.025;

  /**
   * Takes a reading.
   *
   * @param dt seconds since the one before
   * @param level oxygen over its saturation with air; NaN where that is not known
   * @param noise of the probe, in the same
   * @param stepExpected whether somebody has just been at the probe or at the water
   */
  AirLevel next(double dt, double level, double noise, boolean stepExpected) {
    if (Double.isNaN(level)) {
      return this;
    }
    if (Double.isNaN(newest)) {
      return new AirLevel(level, level, level, level, knownSeconds, stay, seeingSeconds);
    }
    double quarterMinute = newest + share(dt, NEWEST_SECONDS) * (level - newest);
    double wholeMinute = minute + share(dt, MINUTE_SECONDS) * (level - minute);
    boolean steps = !stepExpected && Math.abs(quarterMinute - wholeMinute) >= STEP;
    AirStay now = steps && !stay.isOn() ? AirStay.after(earlier) : stay;
    now = now.next(dt, wholeMinute, usual, noise * Math.sqrt(share(dt, 2.0 * MINUTE_SECONDS)));
    return new AirLevel(
        quarterMinute,
        wholeMinute,
        earlier + share(dt, EARLIER_SECONDS) * (level - earlier),
        now.isOn() ? usual : usual + usualShare(dt) * clipped(level - usual),
        knownSeconds + dt,
        now,
        now.isInAir() ? 0.0 : seeingSeconds + dt);
  }

  private double usualShare(double dt) {
    double memory = Math.min(MOST_USUAL_SECONDS, knownSeconds / 2.0);
    return share(dt, Math.max(LEAST_USUAL_SECONDS, memory));
  }

  private static double clipped(double unusual) {
    return Math.max(-MOST_UNUSUAL, Math.min(MOST_UNUSUAL, unusual));
  }

  private static double share(double dt, double memorySeconds) {
    return -Math.expm1(-dt / memorySeconds);
  }

  /** The keeper has seen to it: the step is forgotten. */
  AirLevel startAgain() {
    return new AirLevel(newest, minute, earlier, usual, knownSeconds, AirStay.NONE, seeingSeconds);
  }
}
