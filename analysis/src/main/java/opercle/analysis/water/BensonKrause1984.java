// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.water;

import opercle.analysis.ValidRange;

/**
 * Oxygen saturation of fresh and salt water.
 *
 * <p>Benson &amp; Krause (1984), Limnol. Oceanogr. 29(3), 620–632, equations 24 and 32, in the mg/L
 * form adopted by Standard Methods 4500-O and by the US Geological Survey (2011). Range 0–40 °C,
 * 0–40 g/kg, 0.5–1.1 atm. Stateless; any thread.
 */
public final class BensonKrause1984 implements OxygenSolubility {

  private static final String NAME = "Benson & Krause (1984)";
  private static final double KPA_PER_ATM = AirPressure.ONE_ATMOSPHERE_KPA;
  private static final double KELVIN_AT_0_C = 273.15;

  private static final ValidRange TEMPERATURE =
      new ValidRange(NAME, "temperature", 0.0, 40.0, "°C");
  private static final ValidRange SALINITY = new ValidRange(NAME, "salinity", 0.0, 40.0, "g/kg");
  private static final ValidRange PRESSURE =
      new ValidRange(NAME, "pressure", 0.5 * KPA_PER_ATM, 1.1 * KPA_PER_ATM, "kPa");

  @Override
  public double saturationMgPerL(double temperatureC, double salinityGPerKg, double pressureKPa) {
    double t = TEMPERATURE.require(temperatureC);
    double s = SALINITY.require(salinityGPerKg);
    double p = PRESSURE.require(pressureKPa) / KPA_PER_ATM;
    double u = 1.0 / (t + KELVIN_AT_0_C);
    double lnC0 =
        -139.34411 + u * (1.575701e5 + u * (-6.642308e7 + u * (1.243800e10 + u * -8.621949e11)));
    double lnFs = -s * (0.017674 + u * (-10.754 + u * 2140.7));
    double vapour = BensonKrause1980.vapourPressureAtm(u);
    double theta = 0.000975 + t * (-1.426e-5 + t * 6.436e-8);
    double fp = (p - vapour) * (1.0 - theta * p) / ((1.0 - vapour) * (1.0 - theta));
    // One exponential for fresh water and salt together: the exponentials are most of the cost.
    return Math.exp(lnC0 + lnFs) * fp;
  }
}
