// SPDX-License-Identifier: Apache-2.0
package opercle.simulator.physics;

/**
 * Slow ordinary wander about zero: an Ornstein–Uhlenbeck process, updated exactly for any step. One
 * thread only.
 */
public final class Wander {

  private final double sd;
  private final double correlationSeconds;
  private final Chance chance;
  private double value;
  private double stepSeconds = Double.NaN;
  private double keep;
  private double fresh;

  /**
   * Wander that starts somewhere typical.
   *
   * @param sd stationary standard deviation, in the unit of the value
   * @param correlationSeconds time after which 1/e of a departure is left, s
   * @param chance its own chance
   */
  public Wander(double sd, double correlationSeconds, Chance chance) {
    this.sd = sd;
    this.correlationSeconds = correlationSeconds;
    this.chance = chance;
    value = sd * chance.normal();
  }

  private Wander(Wander other) {
    sd = other.sd;
    correlationSeconds = other.correlationSeconds;
    chance = other.chance.copy();
    value = other.value;
    stepSeconds = other.stepSeconds;
    keep = other.keep;
    fresh = other.fresh;
  }

  /** The same wander from here on. */
  public Wander copy() {
    return new Wander(this);
  }

  /** The present value. */
  public double value() {
    return value;
  }

  /** Goes on by a step and gives the new value. */
  public double step(double seconds) {
    if (seconds != stepSeconds) {
      stepSeconds = seconds;
      keep = Math.exp(-seconds / correlationSeconds);
      fresh = sd * Math.sqrt(1.0 - keep * keep);
    }
    value = keep * value + fresh * chance.normal();
    return value;
  }
}
