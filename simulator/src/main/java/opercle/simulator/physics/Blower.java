// SPDX-License-Identifier: Apache-2.0
package opercle.simulator.physics;

/**
 * A blower that feeds a manifold: pressure sags as more air is taken and dies away when it stops.
 * The tanks on it share its fate. One thread only.
 */
public final class Blower {

  /** Time in which a stopped blower's pressure falls to 1/e, s (common practice: a few seconds). */
  private static final double RUN_DOWN_SECONDS = 2.5;

  /** Share by which pressure rises when nothing is taken; a linear pump curve. */
  private static final double SHUT_OFF_RISE = 0.3;

  private final double ratedLPerMin;
  private boolean running = true;
  private double pressureShare = 1.0;

  /** A blower that just feeds what is set on its manifold, L/min at 15 °C. */
  public Blower(double ratedLPerMin) {
    this.ratedLPerMin = ratedLPerMin;
  }

  /** The same blower from here on. */
  public Blower copy() {
    Blower copy = new Blower(ratedLPerMin);
    copy.running = running;
    copy.pressureShare = pressureShare;
    return copy;
  }

  /** Switches it on or off. */
  public void run(boolean on) {
    running = on;
  }

  /** Its pressure against that at which every tank gets its set flow. */
  public double pressureShare() {
    return pressureShare;
  }

  /** Time goes on while so much is taken, L/min at 15 °C. */
  public void step(double seconds, double takenLPerMin) {
    double load = takenLPerMin / ratedLPerMin;
    double target = running ? Math.max(0.0, 1.0 + SHUT_OFF_RISE * (1.0 - load)) : 0.0;
    pressureShare += (target - pressureShare) * (1.0 - Math.exp(-seconds / RUN_DOWN_SECONDS));
  }
}
