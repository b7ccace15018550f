// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.stock;

/**
 * Krogh's normal curve: by how much a fish breathes less at a temperature than it does at 20 °C.
 *
 * <p>Krogh's factors q as used by Winberg (1956), from memory, tabulated for whole degrees 5–30 °C;
 * between them ln q is taken as linear. Below 5 °C the slope of ln q over 5–10 °C is kept, and
 * above 30 °C that over 25–30 °C: the caller must widen what it makes of those and say so.
 */
final class KroghFactor {

  static final double LOWEST_C = 5.0;
  static final double HIGHEST_C = 30.0;

  private static final double[] Q = {
    5.19, 4.55, 3.98, 3.48, 3.05, 2.67, 2.4, 2.16, 1.94, 1.74, 1.57, 1.43, 1.31, 1.2, 1.09, 1.0,
    0.92, 0.847, 0.779, 0.717, 0.659, 0.609, 0.563, 0.52, 0.481, 0.444
  };
  private static final double LN_SLOPE_COLD = Math.log(2.67 / 5.19) / 5.0;
  private static final double LN_SLOPE_WARM = Math.log(0.444 / 0.659) / 5.0;

  private KroghFactor() {}

  /** q at a temperature, °C; 1 at 20 °C, larger in the cold. */
  static double at(double temperatureC) {
    if (temperatureC < LOWEST_C) {
      return Q[0] * Math.exp(LN_SLOPE_COLD * (temperatureC - LOWEST_C));
    }
    if (temperatureC >= HIGHEST_C) {
      return Q[Q.length - 1] * Math.exp(LN_SLOPE_WARM * (temperatureC - HIGHEST_C));
    }
    int i = (int) (temperatureC - LOWEST_C);
    double w = temperatureC - LOWEST_C - i;
    return Q[i] * Math.pow(Q[i + 1] / Q[i], w);
  }
}
