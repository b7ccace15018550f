// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.water;

import opercle.analysis.ValidRange;

/**
 * Free carbon dioxide: what fish breathe out, and what pH and alkalinity tell of it.
 *
 * <p>Carbonate equilibrium with pK₁ of {@link PlummerBusenberg1982}, all alkalinity taken for
 * bicarbonate, so pH 5–8.5. A pH that is wrong by 0.1 makes the carbon dioxide wrong by 26 %.
 * Dissolved common salt lowers pK₁ by 0.5 √I / (1 + 1.4 √I) (from memory, medium confidence; 0.085
 * at 3 g/kg), which is taken no further than 6 g/kg. Stateless; any thread.
 */
public final class CarbonDioxide {

  /** Carbon dioxide over oxygen by mass, one mole for one: 44.0095 / 31.9988. */
  public static final double PER_OXYGEN_BY_MASS = 1.3754;

  /** Respiratory quotient of resting, mixed-fed fish: 0.7 fasted, 1 in hard work (from memory). */
  public static final double USUAL_RESPIRATORY_QUOTIENT = 0.85;

  private static final String NAME = "carbon dioxide from pH and alkalinity";
  private static final double CO2_GRAMS_PER_MOLE = 44.0095;

  /** Alkalinity is told as mg of CaCO₃, of which 50.0435 g hold one mole of charge. */
  private static final double CACO3_GRAMS_PER_CHARGE = 50.0435;

  private static final double NACL_GRAMS_PER_MOLE = 58.44;

  private static final ValidRange PH = new ValidRange(NAME, "pH", 5.0, 8.5, "");
  private static final ValidRange ALKALINITY =
      new ValidRange(NAME, "alkalinity", 0.0, 1000.0, "mg/L as CaCO3");
  private static final ValidRange ALKALINITY_FOR_PH =
      new ValidRange("pH from carbon dioxide", "alkalinity", 1.0, 1000.0, "mg/L as CaCO3");
  private static final ValidRange CO2_FOR_PH =
      new ValidRange("pH from carbon dioxide", "carbon dioxide", 0.1, 1000.0, "mg/L");
  private static final ValidRange SALINITY = new ValidRange(NAME, "salinity", 0.0, 6.0, "g/kg");
  private static final ValidRange QUOTIENT =
      new ValidRange("carbon dioxide from respiration", "respiratory quotient", 0.5, 2.0, "");
  private static final ValidRange OXYGEN =
      new ValidRange("carbon dioxide from respiration", "oxygen", 0.0, 1e9, "mg");

  private CarbonDioxide() {}

  /**
   * Carbon dioxide breathed out for oxygen breathed in, mg for mg (or any rate of both).
   *
   * @param oxygenMg oxygen taken, mg
   * @param respiratoryQuotient mole of carbon dioxide per mole of oxygen, 0.5–2
   */
  public static double respiredMg(double oxygenMg, double respiratoryQuotient) {
    return PER_OXYGEN_BY_MASS * QUOTIENT.require(respiratoryQuotient) * OXYGEN.require(oxygenMg);
  }

  /**
   * Free carbon dioxide from pH and alkalinity.
   *
   * @param pH 5–8.5
   * @param alkalinityMgPerL total alkalinity, mg/L as CaCO₃
   * @param temperatureC 0–40 °C
   * @param salinityGPerKg common salt, 0–6 g/kg
   * @return mg/L
   */
  public static double freeMgPerL(
      double pH, double alkalinityMgPerL, double temperatureC, double salinityGPerKg) {
    return ALKALINITY.require(alkalinityMgPerL)
        * (CO2_GRAMS_PER_MOLE / CACO3_GRAMS_PER_CHARGE)
        * Math.pow(10.0, pK1(temperatureC, salinityGPerKg) - PH.require(pH));
  }

  /**
   * The pH that free carbon dioxide leaves, at an alkalinity that respiration does not change.
   *
   * @param freeMgPerL free carbon dioxide, 0.1–1000 mg/L
   * @param alkalinityMgPerL total alkalinity, 1–1000 mg/L as CaCO₃
   */
  public static double pH(
      double freeMgPerL, double alkalinityMgPerL, double temperatureC, double salinityGPerKg) {
    double charge = ALKALINITY_FOR_PH.require(alkalinityMgPerL) / CACO3_GRAMS_PER_CHARGE;
    double dissolved = CO2_FOR_PH.require(freeMgPerL) / CO2_GRAMS_PER_MOLE;
    return pK1(temperatureC, salinityGPerKg) + Math.log10(charge / dissolved);
  }

  private static double pK1(double temperatureC, double salinityGPerKg) {
    double rootOfStrength = Math.sqrt(SALINITY.require(salinityGPerKg) / NACL_GRAMS_PER_MOLE);
    return PlummerBusenberg1982.pK1(temperatureC)
        - 0.5 * rootOfStrength / (1.0 + 1.4 * rootOfStrength);
  }
}
