// SPDX-License-Identifier: Apache-2.0
package opercle.simulator.probe;

import opercle.analysis.farm.Tank;

/**
 * Which instruments a tank has, and how often they speak.
 *
 * @param oxygenProbes 1: in the bulk; 2: another in the far corner
 * @param flowMeter a gas meter between valve and hose
 * @param linePressure a pressure tap at the meter's outlet
 * @param cylinderGauge a pressure sensor on the cylinder, where there is one
 * @param oxygenSeconds seconds between readings of oxygen, and of flow
 * @param oxygenT90Seconds response time of the oxygen probe at 20 °C, s; 0 draws one of 15–50 s
 * @param oxygenNoiseMgPerL standard deviation of its noise, mg/L; 0 draws one of 0.01–0.05
 */
public record Fittings(
    int oxygenProbes,
    boolean flowMeter,
    boolean linePressure,
    boolean cylinderGauge,
    double oxygenSeconds,
    double oxygenT90Seconds,
    double oxygenNoiseMgPerL) {

  public Fittings {
    if (!(oxygenProbes >= 0 && oxygenProbes <= 2)) {
      throw new IllegalArgumentException(
          "a simulated tank has 0 to 2 oxygen probes but was given " + oxygenProbes);
    }
    if (!(oxygenSeconds >= 0.1)) {
      throw new IllegalArgumentException(
          "a simulated probe speaks every 0.1 s at most but was given " + oxygenSeconds + " s");
    }
  }

  /**
   * What a farm like Sallowmere would fit: a meter everywhere, a pressure tap on oxygen and on
   * every second air line, a second oxygen probe in tanks of 2,000 L and more; transport every 2 s,
   * holding every 5 s.
   *
   * @param index the tank's place in the farm description
   */
  public static Fittings usual(Tank tank, int index) {
    boolean oxygen = tank.supply().gas() == Tank.Gas.OXYGEN;
    return new Fittings(
        tank.waterLitres() >= 2000.0 ? 2 : 1,
        true,
        oxygen || index % 2 == 0,
        tank.supply().source() == Tank.Source.CYLINDER,
        tank.kind() == Tank.Kind.TRANSPORT ? 2.0 : 5.0,
        0.0,
        0.0);
  }
}
