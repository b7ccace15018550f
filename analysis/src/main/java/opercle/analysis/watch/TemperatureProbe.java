// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import opercle.ingest.reading.Quantity;

/**
 * A probe of the water's temperature. One that is unplugged, or out of the water, steps further
 * than water can: such a reading makes wrong milligrams of a percentage, and so counts for nothing
 * while it may be wrong. Not thread-safe.
 */
final class TemperatureProbe extends Probe {

  /** Water steps by less than this, and warms or cools by half a degree in a minute at most. */
  private static final double STEP_C = 0.75;

  private static final double FASTEST_C_PER_SECOND = 0.5 / 60.0;

  /** After a longer gap nobody knows what the water has: it is taken anew. */
  private static final double LONGEST_GAP_SECONDS = 3600.0;

  /** In a longer time than this no more is granted. */
  private static final double MOST_COUNTED_SECONDS = 300.0;

  /** Whoever changes water or puts ice in may do this much to it within a short time. */
  private static final double MOST_C = 5.0;

  private static final double BELIEVED_AFTER_SECONDS = 1800.0;

  /** A tank that was filled anew without a word; hardly a probe in the sun. */
  private static final double FAR_BELIEVED_AFTER_SECONDS = 3.0 * 3600.0;

  /** Fish live in no hotter water; one that is unplugged shows more, or nought or less. */
  private static final double HOTTEST_C = 40.0;

  /** One that was heard for less is not known to be the water's: what stays longer is. */
  private static final double KNOWN_SECONDS = 600.0;

  private static final double DOUBTED_AFTER_SECONDS = 60.0;

  private double waterC = Double.NaN;
  private double knownSeconds;
  private double steppedSeconds;
  private boolean stepped;
  private long previous = Long.MIN_VALUE;

  TemperatureProbe(String name) {
    super(Quantity.TEMPERATURE, name);
  }

  /** What it holds of the water, as a value. */
  record Held(
      double waterC, double knownSeconds, double steppedSeconds, boolean stepped, long previous) {}

  /**
   * Takes the newest value.
   *
   * @return whether a step is believed from now on that was doubted before
   */
  boolean accept(long time) {
    double dt = previous == Long.MIN_VALUE ? 0.0 : Micros.seconds(time - previous);
    previous = time;
    if (dt > LONGEST_GAP_SECONDS) {
      startAgain();
      return false;
    }
    double off = Math.abs(value - waterC);
    double most = STEP_C + FASTEST_C_PER_SECOND * Math.min(MOST_COUNTED_SECONDS, dt);
    if (Double.isNaN(waterC) || off <= most) {
      waterC = value;
      knownSeconds += dt;
      steppedSeconds = 0.0;
      stepped = false;
      return false;
    }
    steppedSeconds += stepped ? dt : 0.0; // one reading alone is a glitch
    stepped = true;
    boolean known = knownSeconds >= KNOWN_SECONDS;
    double believedAfter =
        !known ? knownSeconds : off > MOST_C ? FAR_BELIEVED_AFTER_SECONDS : BELIEVED_AFTER_SECONDS;
    boolean possible = value > 0.0 && value < HOTTEST_C;
    if ((known && !possible) || steppedSeconds < believedAfter) {
      return false;
    }
    startAgain();
    return known;
  }

  /** The water's temperature, °C: the newest value, or the last before a step; NaN before both. */
  double waterC() {
    return waterC;
  }

  /** Whether it has stepped further than water can, and stays there. */
  boolean isDoubted() {
    return steppedSeconds >= DOUBTED_AFTER_SECONDS;
  }

  /** The keeper has changed the water or seen to the probe: its readings count as they are. */
  void startAgain() {
    waterC = previous == Long.MIN_VALUE ? Double.NaN : value;
    knownSeconds = 0.0;
    steppedSeconds = 0.0;
    stepped = false;
  }

  Held held() {
    return new Held(waterC, knownSeconds, steppedSeconds, stepped, previous);
  }

  void restore(Held held) {
    waterC = held.waterC();
    knownSeconds = held.knownSeconds();
    steppedSeconds = held.steppedSeconds();
    stepped = held.stepped();
    previous = held.previous();
  }
}
