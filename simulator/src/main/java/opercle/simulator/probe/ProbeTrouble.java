// SPDX-License-Identifier: Apache-2.0
package opercle.simulator.probe;

/** What is wrong with a probe at the moment; several things can be. One thread only. */
public final class ProbeTrouble {

  private boolean stuck;
  private boolean silent;
  private boolean zero;
  private boolean inAir;
  private boolean inBubble;
  private double offset;
  private double gain = 1.0;
  private double lag = 1.0;
  private double noise = 1.0;
  private double spikesPerReading;
  private double spikeSize;

  ProbeTrouble() {}

  /** Nothing is wrong. */
  public void clear() {
    stuck = false;
    silent = false;
    zero = false;
    inAir = false;
    inBubble = false;
    offset = 0.0;
    gain = 1.0;
    lag = 1.0;
    noise = 1.0;
    spikesPerReading = 0.0;
    spikeSize = 0.0;
  }

  /** It repeats its last value to the digit. */
  public void stick() {
    stuck = true;
  }

  /** It says nothing. */
  public void silence() {
    silent = true;
  }

  /** It says nought. */
  public void sayZero() {
    zero = true;
  }

  /** It hangs out of the water. */
  public void liftIntoAir() {
    inAir = true;
  }

  /** A bubble of the fed gas sits on its face. */
  public void catchBubble() {
    inBubble = true;
  }

  /** It is off by so much more, in the canonical unit. */
  public void shift(double by) {
    offset += by;
  }

  /** It is grown over: reads low, follows slower, with less noise. Share 0–1. */
  public void foul(double share) {
    gain *= 1.0 - 0.3 * share;
    lag *= 1.0 + 4.0 * share;
    noise *= 1.0 - 0.5 * share;
  }

  /** It is noisier by a factor. */
  public void roughen(double factor) {
    noise *= factor;
  }

  /** Now and then it jumps for one reading by something of that size. */
  public void spike(double perReading, double size) {
    spikesPerReading = Math.max(spikesPerReading, perReading);
    spikeSize = Math.max(spikeSize, size);
  }

  boolean isStuck() {
    return stuck;
  }

  boolean isSilent() {
    return silent;
  }

  boolean saysZero() {
    return zero;
  }

  boolean isInAir() {
    return inAir;
  }

  boolean isInBubble() {
    return inBubble;
  }

  double offset() {
    return offset;
  }

  double gain() {
    return gain;
  }

  double lag() {
    return lag;
  }

  double noise() {
    return noise;
  }

  double spikesPerReading() {
    return spikesPerReading;
  }

  double spikeSize() {
    return spikeSize;
  }
}
