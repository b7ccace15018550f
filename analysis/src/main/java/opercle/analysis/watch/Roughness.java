// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

/**
 * Whether one probe's readings have become rougher of late than its learned noise has it: a lorry
 * that sets off, foam, a bad plug. The noise is learned over hours, so that for its first hour a
 * new one would pass for falls. A value.
 *
 * <p>The measure is minus the product of neighbouring changes, over the noise's variance, averaged
 * over the newest readings. White noise goes to and fro and makes that one on average; what moves
 * one way, however fast, makes it less: a true fall is never taken for roughness. Its chance error
 * is some 0.4, so that up to {@link #CHANCE} it means nothing.
 *
 * @param mgPerL the newest reading; NaN before the first
 * @param change between the two newest, mg/L
 * @param square the measure: the present noise over the learned one, squared
 */
record Roughness(double mgPerL, double change, double square) {

  static final Roughness NOT_HEARD = new Roughness(Double.NaN, 0.0, 1.0);

  private static final double READINGS = 16.0;

  /** One glitch must not pass for roughness: it counts as no more than this. */
  private static final double CLIP = 12.0;

  private static final double CHANCE = 2.25;

  /**
   * Takes a reading.
   *
   * @param noise as learned, standard deviation, mg/L
   */
  Roughness next(double newMgPerL, double noise) {
    if (Double.isNaN(mgPerL)) {
      return new Roughness(newMgPerL, 0.0, square);
    }
    double newChange = newMgPerL - mgPerL;
    double product = -newChange * change / (noise * noise);
    double clipped = Math.max(-CLIP, Math.min(CLIP, product));
    return new Roughness(
        newMgPerL, newChange, Math.max(0.0, square + (clipped - square) / READINGS));
  }

  /** How many times the learned noise the present one is, 1 where chance may explain it. */
  double times() {
    return square > CHANCE ? Math.sqrt(square) : 1.0;
  }
}
