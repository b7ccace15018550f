// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.water;

/**
 * Oxygen saturation of fresh and salt water.
 *
 * <p>Benson &amp; Krause (1984), Limnol. Oceanogr. 29(3), 620–632, equations 24 and 32, as adopted
 * by Standard Methods 4500-O and by the US Geological Survey (2011). Range 0–40 °C, 0–40 g/kg,
 * 0.5–1.1 atm.
 */
public final class BensonKrause1984 implements OxygenSolubility {

  private static final double KPA_PER_ATM = 101.325;
  private static final double KELVIN_AT_0_C = 273.15;

  @Override
  public double saturationMgPerL(double temperatureC, double salinityGPerKg, double pressureKPa) {
    require("temperature", temperatureC, 0.0, 40.0, "°C");
    require("salinity", salinityGPerKg, 0.0, 40.0, "g/kg");
    require("pressure", pressureKPa, 0.5 * KPA_PER_ATM, 1.1 * KPA_PER_ATM, "kPa");
    double t = temperatureC;
    double u = 1.0 / (t + KELVIN_AT_0_C);
    double lnC0 =
        -139.34411 + u * (1.575701e5 + u * (-6.642308e7 + u * (1.243800e10 + u * -8.621949e11)));
    double lnFs = -salinityGPerKg * (0.017674 + u * (-10.754 + u * 2140.7));
    double vapourAtm = Math.exp(11.8571 + u * (-3840.70 + u * -216961.0));
    double theta = 0.000975 + t * (-1.426e-5 + t * 6.436e-8);
    double p = pressureKPa / KPA_PER_ATM;
    double fp = (p - vapourAtm) * (1.0 - theta * p) / ((1.0 - vapourAtm) * (1.0 - theta));
    return Math.exp(lnC0 + lnFs) * fp;
  }

  private static void require(String what, double value, double low, double high, String unit) {
    if (!(value >= low && value <= high)) {
      throw new IllegalArgumentException(
          "Benson & Krause (1984): %s %s %s is outside %s–%s %s"
              .formatted(what, value, unit, low, high, unit));
    }
  }
}
