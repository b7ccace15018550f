// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.water;

import java.util.List;

/**
 * All that the formulas of this package say of one water: what the {@code water} command prints.
 * Immutable.
 *
 * @param conditions the water, with the air pressure that was used
 * @param saturationMgPerL oxygen in equilibrium with air, {@link BensonKrause1984}, mg/L
 * @param secondOpinionMgPerL the same by {@link GarciaGordon1992}, mg/L
 * @param secondOpinionUmolPerKg the same by mass of water, µmol/kg
 * @param vapourPressureKPa {@link BensonKrause1980}, kPa
 * @param oxygenTensionKPa partial pressure of oxygen at saturation, kPa
 * @param pureOxygenMgPerL in equilibrium with pure oxygen instead of air, mg/L
 * @param ammonia share of total ammonia that is un-ionised, at some pH, {@link Emerson1975}
 */
public record WaterProperties(
    WaterConditions conditions,
    double saturationMgPerL,
    double secondOpinionMgPerL,
    double secondOpinionUmolPerKg,
    double vapourPressureKPa,
    double oxygenTensionKPa,
    double pureOxygenMgPerL,
    List<AmmoniaShare> ammonia) {

  private static final List<Double> PHS = List.of(6.5, 7.0, 7.5, 8.0, 8.5, 9.0);

  public WaterProperties {
    ammonia = List.copyOf(ammonia);
  }

  /**
   * Un-ionised ammonia at one pH.
   *
   * @param pH of the water
   * @param fraction of total ammonia, 0–1
   */
  public record AmmoniaShare(double pH, double fraction) {}

  /**
   * The properties of a water.
   *
   * @param water 0–40 °C, 0–40 g/kg, 50.7–111.4 kPa
   * @throws IllegalArgumentException naming formula, value and range, if one is outside
   */
  public static WaterProperties of(WaterConditions water) {
    double t = water.temperatureC();
    double s = water.salinityGPerKg();
    OxygenSaturation oxygen = new OxygenSaturation();
    GarciaGordon1992 second = new GarciaGordon1992();
    double saturation = oxygen.underAirMgPerL(water);
    return new WaterProperties(
        water,
        saturation,
        second.saturationMgPerL(water),
        second.saturationUmolPerKg(t, s, water.pressureKPa()),
        BensonKrause1980.vapourPressureKPa(t),
        oxygen.tensionKPa(saturation, water),
        oxygen.underPureOxygenMgPerL(water),
        PHS.stream().map(pH -> new AmmoniaShare(pH, Emerson1975.fraction(pH, t, s))).toList());
  }

  /** The second opinion less the first, mg/L: how far two fits of the same data are apart. */
  public double differenceMgPerL() {
    return secondOpinionMgPerL - saturationMgPerL;
  }
}
