// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.gas;

import opercle.analysis.Band;
import opercle.analysis.ValidRange;
import opercle.analysis.farm.Tank;
import opercle.analysis.farm.Tank.Diffuser;
import opercle.analysis.farm.Tank.Gas;
import opercle.analysis.water.OxygenSaturation;
import opercle.analysis.water.WaterConditions;

/**
 * Oxygen that a diffuser gives to the water of a tank, ready for its balance:
 *
 * <pre>
 * dC/dt = kLa (C*gas − C) + kSurface (C*air − C) − demand
 * </pre>
 *
 * <p>Form of ASCE/EWRI 2-06 (from memory): kLa = SOTE · fed · α · θ^(T−20) / (C*gas,20 · V), driven
 * by β·C*gas at the site's pressure and half the depth. θ = 1.024 (universal); α = 0.85, 0.7–0.95
 * for fish water; β = 0.98. The form is sound, the efficiency of a given diffuser is not known
 * better than the band says: fit kLa to the tank where readings allow. In proportion to the flow;
 * that a diffuser driven harder does worse is left to the band, and so is the nitrogen that an
 * oxygen bubble picks up.
 *
 * @param kLaPerHour transfer coefficient of the diffuser at this flow, 1/h
 * @param gasSaturationMgPerL what the water would come to under this gas alone, β·C*gas, mg/L
 * @param waterLitres water in the tank, L
 * @param fedMgPerMin oxygen in the gas fed, mg/min
 */
public record Transfer(
    Band kLaPerHour, double gasSaturationMgPerL, double waterLitres, double fedMgPerMin) {

  /** Temperature correction of a transfer coefficient, per °C: ASCE/EWRI 2. */
  static final double THETA = 1.024;

  /** kLa in fish water over that in clean water (from memory, medium). */
  static final Band ALPHA = new Band(0.7, 0.85, 0.95);

  /** Saturation in fish water over that in clean water: 0.95–1 (from memory, high). */
  static final double BETA = 0.98;

  /** The figures for diffusers come from 0.5 to 4.6 m. */
  private static final ValidRange DEPTH =
      new ValidRange("oxygen transfer", "depth", 0.05, 6.0, "m");

  private static final ValidRange TEMPERATURE =
      new ValidRange("oxygen transfer", "temperature", 0.0, 40.0, "°C");
  private static final ValidRange WATER =
      new ValidRange("oxygen transfer", "water volume", 1.0, 1e7, "L");

  private static final OxygenSaturation SATURATION = new OxygenSaturation();
  private static final WaterConditions STANDARD = WaterConditions.fresh(20.0);

  /**
   * The transfer of a diffuser.
   *
   * @param gas what is fed
   * @param diffuser through what
   * @param depthM water over the diffuser, 0.05–6 m
   * @param flowLPerMin L/min at 15 °C and 101.325 kPa
   * @param waterLitres water in the tank, without the fish, L
   * @param water temperature, salinity and air pressure
   * @throws IllegalArgumentException naming formula, value and range, if one is outside
   */
  public static Transfer of(
      Gas gas,
      Diffuser diffuser,
      double depthM,
      double flowLPerMin,
      double waterLitres,
      WaterConditions water) {
    DEPTH.require(depthM);
    WATER.require(waterLitres);
    double fed = GasFlow.oxygenMgPerMin(gas, flowLPerMin);
    double driving = BETA * saturationMgPerL(gas, water, 0.5 * depthM);
    double standard = saturationMgPerL(gas, STANDARD, 0.0);
    double temperatureFactor = temperatureFactor(water.temperatureC());
    Band share = DiffuserEfficiency.share(gas, diffuser, depthM);
    // Even water without oxygen cannot take up more than is fed.
    double allOfIt = standard / (driving * temperatureFactor);
    Band taken =
        new Band(
            Math.min(allOfIt, ALPHA.low() * share.low()),
            Math.min(allOfIt, ALPHA.likely() * share.likely()),
            Math.min(allOfIt, ALPHA.high() * share.high()));
    Band kLa = taken.times(60.0 * fed * temperatureFactor / (standard * waterLitres));
    return new Transfer(kLa, driving, waterLitres, fed);
  }

  /** The transfer of a tank's own supply at a flow, L/min at 15 °C. */
  public static Transfer of(Tank tank, double flowLPerMin, WaterConditions water) {
    return of(
        tank.supply().gas(),
        tank.supply().diffuser(),
        tank.depthM(),
        flowLPerMin,
        tank.waterLitres(),
        water);
  }

  /** Rise of the tank's oxygen from this gas at a concentration, (mg/L)/h; negative above C*gas. */
  public Band risePerHour(double oxygenMgPerL) {
    double driving = gasSaturationMgPerL - oxygenMgPerL;
    return driving >= 0.0
        ? kLaPerHour.times(driving)
        : new Band(
            kLaPerHour.high() * driving, kLaPerHour.likely() * driving, kLaPerHour.low() * driving);
  }

  /** Oxygen delivered to the tank at a concentration, mg/min; negative above C*gas. */
  public Band deliveredMgPerMin(double oxygenMgPerL) {
    Band rise = risePerHour(oxygenMgPerL);
    double litresPerMinutePerHour = waterLitres / 60.0;
    return new Band(
        rise.low() * litresPerMinutePerHour,
        rise.likely() * litresPerMinutePerHour,
        rise.high() * litresPerMinutePerHour);
  }

  /**
   * Share of the fed oxygen that the water takes up at a concentration, 0–1; nothing when nothing
   * is fed or when the water loses oxygen to the bubbles.
   */
  public Band efficiency(double oxygenMgPerL) {
    if (fedMgPerMin == 0.0 || oxygenMgPerL >= gasSaturationMgPerL) {
      return Band.exactly(0.0);
    }
    return deliveredMgPerMin(oxygenMgPerL).times(1.0 / fedMgPerMin);
  }

  /** θ^(T−20) for a water temperature of 0–40 °C. */
  static double temperatureFactor(double temperatureC) {
    return Math.pow(THETA, TEMPERATURE.require(temperatureC) - 20.0);
  }

  private static double saturationMgPerL(Gas gas, WaterConditions water, double depthM) {
    double moleFraction = gas == Gas.OXYGEN ? 1.0 : OxygenSaturation.OXYGEN_IN_AIR;
    return SATURATION.underGasMgPerL(water, moleFraction, depthM);
  }
}
