// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.balance;

import opercle.analysis.Band;
import opercle.analysis.stock.Feeding;
import opercle.analysis.stock.WasteOutput;
import opercle.analysis.water.Weiss1974;

/**
 * How ammonia and carbon dioxide gather in a tank's water from what the fish breathe.
 *
 * <p>Ammonia stays: TAN(t) = TAN0 + AQ·0.4377·(oxygen taken). Carbon dioxide goes off with bubbles
 * and surface:
 *
 * <pre>
 *   dX/dt = p D(t) − k (X − Xair),   k = s·60·G·H/V + kSurface,CO2
 * </pre>
 *
 * <p>A bubble can carry away no more than it holds in equilibrium with the water, H litres' worth
 * of water for each litre of gas ({@link Weiss1974}); s is the share of that it reaches. Fine
 * bubbles of oxygen, a litre or two a minute, hardly strip; a blower does. Both are worked out from
 * oxygen taken, so the same fish are counted once. Pure.
 */
public final class WasteBuildUp {

  /** Air's carbon dioxide, mole fraction: 420 ppm. */
  private static final double IN_AIR = 420.0e-6;

  private static final double GAS_CONSTANT_L_ATM = 0.082057;
  private static final double CARBON_DIOXIDE_MG_PER_MOL = 44009.5;

  /** Carbon dioxide crosses a surface a little slower than oxygen: √(1.76/2.10), from memory. */
  public static final double OVER_OXYGEN_AT_A_SURFACE = 0.9;

  /** How near to equilibrium a bubble of 0.5 m rise comes with carbon dioxide (ours, low). */
  public static final Band BUBBLE_SHARE = new Band(0.3, 0.6, 1.0);

  private WasteBuildUp() {}

  /**
   * Total ammonia at the end, mg/L as nitrogen.
   *
   * @param startMgPerL at the start, mg/L as nitrogen
   * @param oxygenTakenMgPerL oxygen that the fish took from a litre, mg/L
   * @param feeding whether there is food in them
   */
  public static Band tanMgPerL(double startMgPerL, Band oxygenTakenMgPerL, Feeding feeding) {
    Band perOxygen = WasteOutput.tanMgPerMgOxygen(feeding);
    return Band.exactly(startMgPerL)
        .plus(
            new Band(
                perOxygen.low() * oxygenTakenMgPerL.low(),
                perOxygen.likely() * oxygenTakenMgPerL.likely(),
                perOxygen.high() * oxygenTakenMgPerL.high()));
  }

  /**
   * The fastest that a gas flow can strip carbon dioxide, 1/h: every bubble leaves in equilibrium.
   *
   * @param flowLPerMin gas of any kind, L/min at 15 °C
   * @param waterLitres water in the tank, L
   * @param temperatureC water temperature, °C
   */
  public static double fullStrippingPerHour(
      double flowLPerMin, double waterLitres, double temperatureC) {
    double kelvin = temperatureC + 273.15;
    double gasOverWater =
        1.0 / (Weiss1974.molPerLAtm(temperatureC, 0.0) * GAS_CONSTANT_L_ATM * kelvin);
    double litresInTheWater = flowLPerMin * kelvin / 288.15; // at the water's temperature
    return 60.0 * litresInTheWater * gasOverWater / waterLitres;
  }

  /** Carbon dioxide of water in equilibrium with air, mg/L; about 1 at 10 °C. */
  public static double airEquilibriumMgPerL(double temperatureC) {
    return IN_AIR * Weiss1974.molPerLAtm(temperatureC, 0.0) * CARBON_DIOXIDE_MG_PER_MOL;
  }

  /**
   * Carbon dioxide at the end of a stay with a steady demand, mg/L.
   *
   * @param startMgPerL at the start, mg/L
   * @param productionMgPerLPerHour given off, mg/L/h
   * @param strippingPerHour k, 1/h
   * @param temperatureC water temperature, °C
   * @param hours how long, h
   */
  public static double carbonDioxideMgPerL(
      double startMgPerL,
      double productionMgPerLPerHour,
      double strippingPerHour,
      double temperatureC,
      double hours) {
    double k = strippingPerHour;
    if (k * hours < 1e-12) {
      return startMgPerL + productionMgPerLPerHour * hours;
    }
    double left = Math.exp(-k * hours);
    double air = airEquilibriumMgPerL(temperatureC);
    return startMgPerL * left + (air + productionMgPerLPerHour / k) * (1.0 - left);
  }

  /**
   * The same with its uncertainty: the high end where much is given off and little stripped.
   *
   * @return mg/L
   */
  public static Band carbonDioxideMgPerL(
      double startMgPerL,
      Band productionMgPerLPerHour,
      Band strippingPerHour,
      double temperatureC,
      double hours) {
    Band given = productionMgPerLPerHour;
    Band stripped = strippingPerHour;
    double likely =
        carbonDioxideMgPerL(startMgPerL, given.likely(), stripped.likely(), temperatureC, hours);
    // Water that starts under air's level gains by stripping: then the ends cross over.
    double little =
        carbonDioxideMgPerL(startMgPerL, given.low(), stripped.high(), temperatureC, hours);
    double much =
        carbonDioxideMgPerL(startMgPerL, given.high(), stripped.low(), temperatureC, hours);
    return new Band(
        Math.min(likely, Math.min(little, much)), likely, Math.max(likely, Math.max(little, much)));
  }
}
