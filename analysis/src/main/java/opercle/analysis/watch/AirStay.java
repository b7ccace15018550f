// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

/**
 * A probe's stay at a level where air saturates water, after a step. Long and still enough, it is
 * taken to be in air. It ends when the level moves off again, and not with time. Levels are oxygen
 * over its saturation with air; the figures are <i>common practice</i>. A value.
 *
 * @param from the level before the step; NaN while there was none of late
 * @param sinceStep seconds since the step
 * @param standing for how long it has stood level near saturation, seconds
 * @param away for how long it has not, seconds
 * @param lowest while standing
 * @param highest while standing
 * @param isInAir whether it has stood for long enough to be taken to be in air
 */
record AirStay(
    double from,
    double sinceStep,
    double standing,
    double away,
    double lowest,
    double highest,
    boolean isInAir) {

  static final AirStay NONE = after(Double.NaN);

  /** Probes are a few hundredths off, and one with droplets on its face reads 1.02. */
  private static final double LOWEST_IN_AIR = 0.96;

  private static final double HIGHEST_IN_AIR = 1.05;

  /** A level nearer than this is the same. */
  private static final double ELSEWHERE = 0.04;

  /** Water mostly moves by more than this in a third of an hour; noise may seem to. */
  private static final double STILL = 0.005;

  private static final double STILL_SDS = 6.0;
  private static final double STANDS_SECONDS = 1200.0;

  /** It may take so long until it is still: first the probe takes the air's temperature. */
  private static final double ARRIVES_SECONDS = 2400.0;

  private static final double LEAVES_SECONDS = 60.0;

  /** A step from that level has just been made. */
  static AirStay after(double from) {
    return new AirStay(from, 0.0, 0.0, 0.0, 0.0, 0.0, false);
  }

  /** Whether there was a step of late, or what it led to goes on. */
  boolean isOn() {
    return !Double.isNaN(from);
  }

  /**
   * Takes a level.
   *
   * @param dt seconds since the one before
   * @param usual level of the tank
   * @param error of the level, standard deviation
   */
  AirStay next(double dt, double level, double usual, double error) {
    if (!isOn()) {
      return this;
    }
    boolean near = level >= LOWEST_IN_AIR && level <= HIGHEST_IN_AIR;
    boolean elsewhere = Math.abs(level - from) >= ELSEWHERE && Math.abs(level - usual) >= ELSEWHERE;
    double low = standing > 0.0 ? Math.min(lowest, level) : level;
    double high = standing > 0.0 ? Math.max(highest, level) : level;
    boolean still = high - low <= (isInAir ? 2.0 : 1.0) * (STILL + STILL_SDS * error);
    if (near && still && (isInAir || elsewhere)) {
      double stood = standing + dt;
      return new AirStay(
          from, sinceStep + dt, stood, 0.0, low, high, isInAir || stood >= STANDS_SECONDS);
    }
    double gone = away + dt;
    boolean over = isInAir ? gone >= LEAVES_SECONDS : sinceStep + dt > ARRIVES_SECONDS;
    return over
        ? NONE
        : new AirStay(
            from, sinceStep + dt, isInAir ? standing : 0.0, gone, lowest, highest, isInAir);
  }
}
