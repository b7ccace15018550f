// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.water;

import opercle.analysis.ValidRange;

/**
 * Oxygen measured against saturation: percent, tension, and saturation under another gas than air.
 * All are Henry's law on an {@link OxygenSolubility}. Stateless; any thread.
 *
 * <p>A percentage is meaningless without the pressure it was taken at: here it is always that of
 * the site. At 1000 m the percentage against sea level would be 11 % lower.
 */
public final class OxygenSaturation {

  /** Oxygen in dry air, mole fraction: US Standard Atmosphere 1976 (0.209476), rounded. */
  public static final double OXYGEN_IN_AIR = 0.20946;

  /** A probe in water without oxygen may read a little below zero. */
  private static final ValidRange CONCENTRATION =
      new ValidRange("oxygen saturation", "oxygen", -0.5, 200.0, "mg/L");

  private static final ValidRange MOLE_FRACTION =
      new ValidRange("Henry's law", "mole fraction of oxygen", 0.0, 1.0, "");

  private final OxygenSolubility solubility;

  /** Percent, tension and the rest on the curve of Benson &amp; Krause (1984). */
  public OxygenSaturation() {
    this(new BensonKrause1984());
  }

  /** The same on any curve. */
  public OxygenSaturation(OxygenSolubility solubility) {
    this.solubility = solubility;
  }

  /** Concentration in equilibrium with air, mg/L. */
  public double underAirMgPerL(WaterConditions water) {
    return solubility.saturationMgPerL(water);
  }

  /** A concentration (mg/L) as a percentage of saturation with air at the site's own pressure. */
  public double percent(double oxygenMgPerL, WaterConditions water) {
    return 100.0 * CONCENTRATION.require(oxygenMgPerL) / underAirMgPerL(water);
  }

  /** Partial pressure of the dissolved oxygen (mg/L), kPa: what a gill sees. */
  public double tensionKPa(double oxygenMgPerL, WaterConditions water) {
    double dryAirKPa =
        water.pressureKPa() - BensonKrause1980.vapourPressureKPa(water.temperatureC());
    return CONCENTRATION.require(oxygenMgPerL) / underAirMgPerL(water) * OXYGEN_IN_AIR * dryAirKPa;
  }

  /**
   * Concentration in equilibrium with bubbles of another gas at a depth.
   *
   * <p>Past the surface the pressure may leave the range of the solubility formula, so the excess
   * is put on by Henry's law, vapour taken off; the formula's own second-order pressure term would
   * take 0.02 % off at 2 m.
   *
   * @param moleFraction of oxygen in the dry gas: {@link #OXYGEN_IN_AIR} for air, 1 for pure oxygen
   * @param depthM depth of the bubbles, m
   * @return mg/L
   */
  public double underGasMgPerL(WaterConditions water, double moleFraction, double depthM) {
    double vapour = BensonKrause1980.vapourPressureKPa(water.temperatureC());
    double atDepth = WaterColumn.pressureKPa(water.pressureKPa(), depthM);
    return underAirMgPerL(water)
        * (MOLE_FRACTION.require(moleFraction) / OXYGEN_IN_AIR)
        * (atDepth - vapour)
        / (water.pressureKPa() - vapour);
  }

  /** Concentration in equilibrium with pure, moist oxygen at the surface, mg/L. */
  public double underPureOxygenMgPerL(WaterConditions water) {
    return underGasMgPerL(water, 1.0, 0.0);
  }
}
