// SPDX-License-Identifier: Apache-2.0
package opercle.simulator.physics;

import opercle.analysis.farm.Tank;

/**
 * What a farm description leaves open about a tank.
 *
 * @param startC water temperature to begin with, °C
 * @param salinityGPerKg salinity, g/kg
 * @param surfacePerHour exchange coefficient of the surface, 1/h; 0.05–0.3 for a still open tank,
 *     0.3–1 on a moving truck (from memory)
 * @param bacteriaMgPerLPerHour bacterial demand at 15 °C, mg/L/h
 * @param plumeTurnSeconds time in which the running plume moves the tank's water once, s
 * @param fishTurnSeconds the same by fish alone, s
 * @param heatHours time constant with which water follows the air, h
 * @param warmerThanAirC what the water settles at above the air's mean, °C
 * @param wander relative standard deviation of transfer about its mean
 * @param cylinderBar pressure to begin with, bar gauge; ignored for a blower
 */
public record TankTraits(
    double startC,
    double salinityGPerKg,
    double surfacePerHour,
    double bacteriaMgPerLPerHour,
    double plumeTurnSeconds,
    double fishTurnSeconds,
    double heatHours,
    double warmerThanAirC,
    double wander,
    double cylinderBar) {

  /** Traits drawn for a tank: the same seed, the same tank. */
  public static TankTraits draw(Tank tank, Weather weather, Chance chance) {
    boolean holding = tank.kind() == Tank.Kind.HOLDING;
    double startC = 11.0 + 0.3 * (weather.shedC() - 11.0) + chance.between(-0.4, 0.4);
    double fullBar = tank.supply().cylinder().map(Tank.Cylinder::fullBar).orElse(200.0);
    double surroundingsC = holding ? weather.shedC() : weather.outdoorC();
    return new TankTraits(
        startC,
        chance.between(0.2, 0.6),
        holding ? chance.logBetween(0.08, 0.3) : chance.logBetween(0.25, 0.5),
        chance.between(0.1, 0.4),
        chance.between(60.0, 120.0),
        chance.between(240.0, 480.0),
        holding ? chance.between(20.0, 40.0) : chance.between(40.0, 80.0),
        0.8 * (startC - surroundingsC),
        chance.logBetween(0.01, 0.03),
        Math.min(GasCylinder.MOST_BAR, fullBar * chance.between(0.65, 0.95)));
  }

  /** The same at another temperature, which it tends to keep as it did its own. */
  public TankTraits startingAt(double celsius) {
    return new TankTraits(
        celsius,
        salinityGPerKg,
        surfacePerHour,
        bacteriaMgPerLPerHour,
        plumeTurnSeconds,
        fishTurnSeconds,
        heatHours,
        warmerThanAirC + celsius - startC,
        wander,
        cylinderBar);
  }
}
