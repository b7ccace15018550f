// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.water;

import opercle.analysis.ValidRange;

/**
 * Oxygen saturation by another fit to the same measurements: the second opinion on {@link
 * BensonKrause1984}.
 *
 * <p>Garcia &amp; Gordon (1992), Limnol. Oceanogr. 37(6), 1307–1312, equation 8, the two Benson
 * &amp; Krause columns of table 1 (µmol/kg and mL/L). The paper has another pair of columns, a
 * combined fit, 0.05 % away: never mix the two. 1 mL of oxygen at 0 °C and 1 atm is 1.42905 mg
 * (USGS since 2011). Range 0–40 °C, 0–42 g/kg; the paper stops at 1 atm of moist air, the step to
 * 0.5–1.1 atm here is Henry's law with the vapour taken off. Stateless; any thread.
 */
public final class GarciaGordon1992 implements OxygenSolubility {

  private static final String NAME = "Garcia & Gordon (1992)";
  private static final double KPA_PER_ATM = AirPressure.ONE_ATMOSPHERE_KPA;
  private static final double MG_PER_ML = 1.42905;

  private static final ValidRange TEMPERATURE =
      new ValidRange(NAME, "temperature", 0.0, 40.0, "°C");
  private static final ValidRange SALINITY = new ValidRange(NAME, "salinity", 0.0, 42.0, "g/kg");
  private static final ValidRange PRESSURE =
      new ValidRange(NAME, "pressure", 0.5 * KPA_PER_ATM, 1.1 * KPA_PER_ATM, "kPa");

  @Override
  public double saturationMgPerL(double temperatureC, double salinityGPerKg, double pressureKPa) {
    double ts = scaledTemperature(temperatureC);
    double s = SALINITY.require(salinityGPerKg);
    double fresh =
        2.00907
            + ts * (3.22014 + ts * (4.05010 + ts * (4.94457 + ts * (-0.256847 + ts * 3.88767))));
    double salt = -6.24523e-3 + ts * (-7.37614e-3 + ts * (-1.03410e-2 + ts * -8.17083e-3));
    return MG_PER_ML
        * Math.exp(fresh + s * (salt + s * -4.88682e-7))
        * pressureFactor(temperatureC, pressureKPa);
  }

  /**
   * The same by mass of water, which needs no density.
   *
   * @return µmol of oxygen per kg of water
   */
  public double saturationUmolPerKg(
      double temperatureC, double salinityGPerKg, double pressureKPa) {
    double ts = scaledTemperature(temperatureC);
    double s = SALINITY.require(salinityGPerKg);
    double fresh =
        5.80871
            + ts * (3.20291 + ts * (4.17887 + ts * (5.10006 + ts * (-0.0986643 + ts * 3.80369))));
    double salt = -7.01577e-3 + ts * (-7.70028e-3 + ts * (-1.13864e-2 + ts * -9.51519e-3));
    return Math.exp(fresh + s * (salt + s * -2.75915e-7))
        * pressureFactor(temperatureC, pressureKPa);
  }

  private static double scaledTemperature(double temperatureC) {
    double t = TEMPERATURE.require(temperatureC);
    return Math.log((298.15 - t) / (273.15 + t));
  }

  private static double pressureFactor(double temperatureC, double pressureKPa) {
    double vapour = BensonKrause1980.vapourPressureKPa(temperatureC);
    return (PRESSURE.require(pressureKPa) - vapour) / (KPA_PER_ATM - vapour);
  }
}
