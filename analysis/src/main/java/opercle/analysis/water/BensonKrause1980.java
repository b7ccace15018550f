// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.water;

import opercle.analysis.ValidRange;

/**
 * Vapour pressure of fresh water.
 *
 * <p>Benson &amp; Krause (1980), Limnol. Oceanogr. 25(4), 662–671, equation 23. Range 0–40 °C;
 * within 0.2 % of IAPWS-95 there. Salt lowers it by about 0.05 % per g/kg, which is left out.
 */
public final class BensonKrause1980 {

  private static final ValidRange TEMPERATURE =
      new ValidRange("vapour pressure, Benson & Krause (1980)", "temperature", 0.0, 40.0, "°C");

  private BensonKrause1980() {}

  /**
   * Pressure of water vapour in air that is saturated with it.
   *
   * @param temperatureC 0–40 °C
   * @return kPa
   */
  public static double vapourPressureKPa(double temperatureC) {
    double u = 1.0 / (TEMPERATURE.require(temperatureC) + 273.15);
    return AirPressure.ONE_ATMOSPHERE_KPA * vapourPressureAtm(u);
  }

  /** The same in atm, of the reciprocal of the temperature in 1/K, unchecked. */
  static double vapourPressureAtm(double perKelvin) {
    return Math.exp(11.8571 + perKelvin * (-3840.70 + perKelvin * -216961.0));
  }
}
