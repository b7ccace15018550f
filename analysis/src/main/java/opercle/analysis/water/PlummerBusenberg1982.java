// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.water;

import opercle.analysis.ValidRange;

/**
 * First dissociation constant of carbonic acid in fresh water.
 *
 * <p>Plummer &amp; Busenberg (1982), Geochim. Cosmochim. Acta 46, 1011–1040, 0–250 °C (coefficients
 * from memory, within 0.003 of Harned &amp; Davis (1943) and of a printed list); here 0–40 °C.
 */
public final class PlummerBusenberg1982 {

  private static final ValidRange TEMPERATURE =
      new ValidRange("pK1, Plummer & Busenberg (1982)", "temperature", 0.0, 40.0, "°C");

  private PlummerBusenberg1982() {}

  /** pK₁ at zero ionic strength and a temperature of 0–40 °C. */
  public static double pK1(double temperatureC) {
    double t = TEMPERATURE.require(temperatureC) + 273.15;
    return 356.3094
        + 0.06091964 * t
        - 21834.37 / t
        - 126.8339 * Math.log10(t)
        + 1684915.0 / (t * t);
  }
}
