// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.stock;

import opercle.analysis.Band;

/**
 * What quiet, unfed fish breathe: routine oxygen demand by species, body mass and temperature.
 *
 * <p>Cyprinids: Winberg (1956) with Krogh's temperature factors, 23 / 45 / 77 / 121 mg/kg/h for 1
 * kg carp at 5 / 10 / 15 / 20 °C (from memory; two independent supports, see the science notes),
 * per-kilogram rate ∝ mass^−0.2. A first version: other species are scaled from this curve.
 */
public final class OxygenDemand {

  private static final double[] TEMPERATURE_C = {0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0};
  private static final double[] LN_RATE = {
    Math.log(11.0),
    Math.log(23.0),
    Math.log(45.0),
    Math.log(77.0),
    Math.log(121.0),
    Math.log(181.0),
    Math.log(262.0)
  };

  private OxygenDemand() {}

  /**
   * Routine demand per kilogram of fish.
   *
   * @param species whose
   * @param meanMassKg mean body mass, kg
   * @param temperatureC water temperature, 0–30 °C
   * @return mg of oxygen per kg of fish per hour
   */
  public static Band routineMgPerKgPerHour(
      Species species, double meanMassKg, double temperatureC) {
    if (!(temperatureC >= 0.0 && temperatureC <= 30.0)) {
      throw new IllegalArgumentException(
          "routine oxygen demand: temperature %s °C is outside 0–30 °C".formatted(temperatureC));
    }
    int i = (int) Math.min(TEMPERATURE_C.length - 2, Math.floor(temperatureC / 5.0));
    double w = (temperatureC - TEMPERATURE_C[i]) / 5.0;
    double rate = Math.exp(LN_RATE[i] + w * (LN_RATE[i + 1] - LN_RATE[i]));
    rate *= Math.pow(meanMassKg, -0.2);
    if (species.group() == Species.Group.TROUT) {
      rate *= 2.0;
    }
    return new Band(0.65 * rate, rate, 1.6 * rate);
  }
}
