// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.water;

import opercle.analysis.ValidRange;

/**
 * Un-ionised ammonia, NH₃, the poisonous part of total ammonia.
 *
 * <p>Emerson, Russo, Lund &amp; Thurston (1975), J. Fish. Res. Board Can. 32(12), 2379–2383: pKa =
 * 0.09018 + 2729.92/T. Tabled there for 0–30 °C and pH 6–10, the measurements under it reach 50 °C;
 * here 0–40 °C. One copy in circulation has 2727.92, which is 1.4 % off everywhere.
 *
 * <p>Salt raises pKa by 0.003 per g/kg: our fit to Bower &amp; Bidwell (1978) against Trussell
 * (1972), medium confidence. Up to 10 g/kg that is 7 % of the ammonia at most, and fresh water errs
 * on the safe, higher side. Stateless; any thread.
 */
public final class Emerson1975 {

  private static final String NAME = "un-ionised ammonia, Emerson et al. (1975)";

  /** Mass of NH₃ over that of its nitrogen: 17.031 / 14.007. */
  public static final double AMMONIA_PER_NITROGEN = 1.2159;

  private static final double PKA_PER_G_PER_KG = 0.003;

  private static final ValidRange TEMPERATURE =
      new ValidRange(NAME, "temperature", 0.0, 40.0, "°C");
  private static final ValidRange SALINITY = new ValidRange(NAME, "salinity", 0.0, 40.0, "g/kg");
  private static final ValidRange PH = new ValidRange(NAME, "pH", 6.0, 10.0, "");
  private static final ValidRange TOTAL =
      new ValidRange(NAME, "total ammonia nitrogen", 0.0, 1000.0, "mg/L");

  private Emerson1975() {}

  /** pKa of ammonium at a temperature, 0–40 °C, and a salinity, 0–40 g/kg. */
  public static double pKa(double temperatureC, double salinityGPerKg) {
    return 0.09018
        + 2729.92 / (TEMPERATURE.require(temperatureC) + 273.15)
        + PKA_PER_G_PER_KG * SALINITY.require(salinityGPerKg);
  }

  /**
   * Share of total ammonia that is NH₃.
   *
   * @param pH 6–10
   * @param temperatureC 0–40 °C
   * @param salinityGPerKg 0–40 g/kg
   * @return 0–1
   */
  public static double fraction(double pH, double temperatureC, double salinityGPerKg) {
    return 1.0 / (1.0 + Math.pow(10.0, pKa(temperatureC, salinityGPerKg) - PH.require(pH)));
  }

  /**
   * Un-ionised ammonia, mg/L as NH₃.
   *
   * @param totalNitrogenMgPerL total ammonia as nitrogen, mg/L
   */
  public static double ammoniaMgPerL(
      double totalNitrogenMgPerL, double pH, double temperatureC, double salinityGPerKg) {
    return TOTAL.require(totalNitrogenMgPerL)
        * fraction(pH, temperatureC, salinityGPerKg)
        * AMMONIA_PER_NITROGEN;
  }
}
