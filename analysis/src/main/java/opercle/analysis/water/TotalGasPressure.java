// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.water;

import opercle.analysis.ValidRange;

/**
 * Total pressure of the gases dissolved in a water, against the air over it. Bubbles form in fish
 * when the first is well above the second.
 *
 * <p>Definition: CCME (1999), Canadian water quality guideline for dissolved gas supersaturation:
 * TGP = pN₂(+Ar) + pO₂ + pCO₂ + pH₂O; ΔP = TGP − air pressure. Oxygen counts for less than nitrogen
 * does at the same ΔP, since tissue uses it up.
 *
 * @param totalKPa all dissolved gases and vapour, kPa
 * @param airKPa pressure of the air at the site, kPa absolute
 */
public record TotalGasPressure(double totalKPa, double airKPa) {

  /** Nitrogen and argon in dry air, mole fraction (nitrogen 0.78084, argon 0.00934). */
  public static final double NITROGEN_AND_ARGON_IN_AIR = 0.7902;

  private static final double MM_HG_PER_KPA = 760.0 / AirPressure.ONE_ATMOSPHERE_KPA;

  private static final ValidRange NITROGEN =
      new ValidRange("total gas pressure", "nitrogen as a share of equilibrium", 0.0, 3.0, "");

  /**
   * From the pressures of its parts, kPa.
   *
   * @param nitrogenAndArgonKPa nitrogen with argon
   * @param oxygenKPa oxygen
   * @param carbonDioxideKPa carbon dioxide
   * @param vapourKPa water vapour
   * @param airKPa the air over the water, absolute
   */
  public static TotalGasPressure of(
      double nitrogenAndArgonKPa,
      double oxygenKPa,
      double carbonDioxideKPa,
      double vapourKPa,
      double airKPa) {
    return new TotalGasPressure(
        nitrogenAndArgonKPa + oxygenKPa + carbonDioxideKPa + vapourKPa, airKPa);
  }

  /**
   * Of a tank where oxygen is measured and nitrogen is taken for a share of its equilibrium with
   * air: 1 after aeration, less where pure oxygen has driven nitrogen out, more behind a leaking
   * pump. Carbon dioxide is left out; 20 mg/L of it would add about 1 kPa.
   *
   * @param water temperature, salinity and air pressure
   * @param oxygenMgPerL dissolved oxygen, mg/L
   * @param nitrogenShare share of equilibrium, 0–3
   */
  public static TotalGasPressure inTank(
      WaterConditions water, double oxygenMgPerL, double nitrogenShare) {
    return inTank(water, oxygenMgPerL, nitrogenShare, 0.0);
  }

  /**
   * The same with carbon dioxide, by {@link Weiss1974}.
   *
   * @param freeCarbonDioxideMgPerL free carbon dioxide, mg/L
   */
  public static TotalGasPressure inTank(
      WaterConditions water,
      double oxygenMgPerL,
      double nitrogenShare,
      double freeCarbonDioxideMgPerL) {
    double vapour = BensonKrause1980.vapourPressureKPa(water.temperatureC());
    double nitrogen =
        NITROGEN.require(nitrogenShare)
            * NITROGEN_AND_ARGON_IN_AIR
            * (water.pressureKPa() - vapour);
    double oxygen = new OxygenSaturation().tensionKPa(oxygenMgPerL, water);
    double carbonDioxide =
        Weiss1974.tensionKPa(freeCarbonDioxideMgPerL, water.temperatureC(), water.salinityGPerKg());
    return of(nitrogen, oxygen, carbonDioxide, vapour, water.pressureKPa());
  }

  /** ΔP, kPa: how far the dissolved gases are above the air; negative below. */
  public double deltaPKPa() {
    return totalKPa - airKPa;
  }

  /** ΔP in mm Hg, the unit of the guideline's own figures. */
  public double deltaPMmHg() {
    return deltaPKPa() * MM_HG_PER_KPA;
  }

  /** TGP as a percentage of the air pressure. */
  public double percent() {
    return 100.0 * totalKPa / airKPa;
  }
}
