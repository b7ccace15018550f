// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

/**
 * One meter in the gas line: whether it has stopped, against what is normal for this line. A value.
 *
 * <p>Normal starts as the flow that the keeper set and is learned from the meter while gas flows,
 * so that gas turned down on purpose becomes normal within half an hour. It is never taken below
 * half of what the keeper set: a cylinder that runs out slowly must not teach the meter that
 * nothing is normal.
 *
 * <p>The line has stopped when two of the last three samples show less than a fifth of normal, the
 * newest among them, and the first of that run is at least ten seconds old, whichever takes longer:
 * a single glitch never counts, whatever the sampling, nor one that is over. It flows again when
 * two of three show more than three tenths.
 *
 * <p>Flows in L/min at 15 °C and 101.325 kPa; times in microseconds since 1970.
 *
 * @param normalLPerMin learned normal flow; 0 where not known
 * @param flowLPerMin the newest sample
 * @param last its time
 * @param recentLow bits of the last three samples, the newest lowest: less than a fifth of normal
 * @param recentFlowing the same: more than three tenths of normal
 * @param lowSince first sample of the present run of low ones, where there is one
 * @param hasStopped whether the line has stopped
 * @param past the stops before
 */
record GasMeter(
    double normalLPerMin,
    double flowLPerMin,
    long last,
    int recentLow,
    int recentFlowing,
    long lowSince,
    boolean hasStopped,
    PastStops past) {

  static final GasMeter NOT_HEARD =
      new GasMeter(0.0, 0.0, Long.MIN_VALUE, 0, 0, 0, false, PastStops.NONE);

  static final double STOPPED_BELOW = 0.2;
  static final double FLOWING_ABOVE = 0.3;
  static final double CONFIRM_SECONDS = 10.0;
  private static final double LEARNING_SECONDS = 600.0;

  /** However long the gap before it, one sample does not become normal by itself. */
  private static final double GREATEST_STEP = 0.25;

  /**
   * Takes a sample.
   *
   * @param time of the sample, later than the one before
   * @param value L/min
   * @param setLPerMin what the keeper set for this meter; 0 where it has no setting of its own
   */
  GasMeter next(long time, double value, double setLPerMin) {
    double learned = normalLPerMin > 0.0 ? normalLPerMin : setLPerMin;
    double normal = Math.max(learned, 0.5 * setLPerMin);
    boolean low = normal > 0.0 && value < STOPPED_BELOW * normal;
    boolean flowing = value > FLOWING_ABOVE * normal && value > 0.0;
    boolean wasLow = mostly(recentLow) || (recentLow & 1) == 1;
    int lows = (recentLow << 1 | (low ? 1 : 0)) & 0b111;
    int flows = (recentFlowing << 1 | (flowing ? 1 : 0)) & 0b111;
    long since = wasLow || hasStopped ? lowSince : time;
    boolean confirmed = low && mostly(lows) && Micros.seconds(time - since) >= CONFIRM_SECONDS;
    boolean stopped = !mostly(flows) && (hasStopped || confirmed);
    if (flowing && !stopped) {
      learned = learn(learned, time, value);
    }
    PastStops stops = hasStopped && !stopped ? past.and(lowSince, time) : past;
    return new GasMeter(learned, value, time, lows, flows, since, stopped, stops);
  }

  /** The keeper has changed the gas on purpose: the next readings say what is normal. */
  GasMeter relearn() {
    return new GasMeter(0.0, flowLPerMin, last, 0, 0, 0, false, past);
  }

  /** Whether the newest sample shows no gas, or the line has stopped and has not flowed since. */
  boolean isLow() {
    return hasStopped || (recentLow & 1) == 1;
  }

  private double learn(double learned, long time, double value) {
    if (learned == 0.0) {
      return value;
    }
    if (last == Long.MIN_VALUE) {
      return learned;
    }
    double step = -Math.expm1(-Micros.seconds(time - last) / LEARNING_SECONDS);
    return learned + Math.min(step, GREATEST_STEP) * (value - learned);
  }

  private static boolean mostly(int bitsOfThree) {
    return Integer.bitCount(bitsOfThree) >= 2;
  }
}
