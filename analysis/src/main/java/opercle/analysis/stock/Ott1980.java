// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.stock;

import opercle.analysis.ValidRange;

/**
 * Resting oxygen consumption of market-size carp and trout as measured by Ott, Heisler &amp; Ultsch
 * (1980), Comp. Biochem. Physiol. 67A:337–340 (read in a published collection of such data).
 *
 * <p>ln(rate per kg, brought to 1 kg) is linear between the temperatures measured: a single Q10
 * fits cold carp badly (4.3 from 5 to 10 °C, 1.6 from 15 to 25 °C). Per-kilogram rate ∝ mass^(b −
 * 1), b = 0.894 for carp, 0.877 for trout (Beamish 1964, read; his trout were brown trout).
 */
public final class Ott1980 {

  /** Carp of 1.3–1.6 kg, 5–25 °C. */
  public static final Ott1980 COMMON_CARP =
      new Ott1980(
          0.894,
          new double[] {5.0, 10.0, 15.0, 25.0},
          new double[] {1.525, 1.341, 1.649, 1.553},
          new double[] {14.9, 30.7, 53.4, 83.9});

  /** Rainbow trout of 0.54–0.60 kg, 10–20 °C. */
  public static final Ott1980 RAINBOW_TROUT =
      new Ott1980(
          0.877,
          new double[] {10.0, 15.0, 20.0},
          new double[] {0.601, 0.561, 0.542},
          new double[] {59.4, 86.0, 92.9});

  private final double massExponent;
  private final double[] temperatureC;
  private final double[] lnRateAtOneKg;

  private Ott1980(
      double massExponent, double[] temperatureC, double[] massKg, double[] mgPerKgPerHour) {
    this.massExponent = massExponent;
    this.temperatureC = temperatureC;
    this.lnRateAtOneKg = new double[temperatureC.length];
    for (int i = 0; i < temperatureC.length; i++) {
      lnRateAtOneKg[i] = Math.log(mgPerKgPerHour[i] / Math.pow(massKg[i], massExponent - 1.0));
    }
  }

  /** The lowest temperature measured, °C. */
  public double lowestC() {
    return temperatureC[0];
  }

  /** The highest temperature measured, °C. */
  public double highestC() {
    return temperatureC[temperatureC.length - 1];
  }

  /**
   * Resting rate of one fish, per kilogram.
   *
   * @param massKg body mass, kg
   * @param celsius water temperature, °C, within what was measured
   * @return mg of oxygen per kg per hour
   * @throws IllegalArgumentException naming value and range, if the temperature is outside
   */
  public double mgPerKgPerHour(double massKg, double celsius) {
    return extended(
        massKg,
        new ValidRange("Ott et al. (1980)", "temperature", lowestC(), highestC(), "°C")
            .require(celsius));
  }

  /**
   * The same, carried on beyond what was measured along the nearest slope: only for a caller that
   * widens and labels the result.
   */
  double extended(double massKg, double celsius) {
    int i = 0;
    while (i < temperatureC.length - 2 && celsius > temperatureC[i + 1]) {
      i++;
    }
    double w = (celsius - temperatureC[i]) / (temperatureC[i + 1] - temperatureC[i]);
    double lnRate = lnRateAtOneKg[i] + w * (lnRateAtOneKg[i + 1] - lnRateAtOneKg[i]);
    return Math.exp(lnRate) * Math.pow(massKg, massExponent - 1.0);
  }
}
