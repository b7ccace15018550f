// SPDX-License-Identifier: Apache-2.0
package opercle.simulator.probe;

import opercle.analysis.farm.Tank;
import opercle.simulator.physics.Chance;

/**
 * What kind of instrument a probe is. Figures: sensor facts of the science notes, mostly experience
 * values from memory.
 *
 * @param tauSeconds main lag at 20 °C, s; T90 / 2.303
 * @param secondTauSeconds a second, smaller lag before it (boundary layer, filter), s
 * @param deadSeconds time that water takes to the probe (a flow cell, a sampling line), s
 * @param lagDoublesPerC degrees of cooling that double the main lag; 0: it does not change
 * @param noiseSd standard deviation of white noise, canonical unit
 * @param resolution step of the last digit, canonical unit
 * @param gain calibration error as a factor
 * @param offset calibration error, canonical unit
 * @param intervalSeconds time between readings, s
 * @param unevenness standard deviation of that time as a share of it
 * @param tailShare share of readings whose noise is four times as large
 * @param stampMs step of its clock, ms: some stamp whole seconds
 */
record ProbeTraits(
    double tauSeconds,
    double secondTauSeconds,
    int deadSeconds,
    double lagDoublesPerC,
    double noiseSd,
    double resolution,
    double gain,
    double offset,
    double intervalSeconds,
    double unevenness,
    double tailShare,
    long stampMs) {

  /** T90 is this many time constants of a first-order lag: ln 10. */
  private static final double TAUS_PER_T90 = Math.log(10.0);

  private static final int MOST_DEAD_SECONDS = 20;

  /** The main lag in water of a temperature, s. */
  double tauAt(double temperatureC) {
    return lagDoublesPerC > 0.0
        ? tauSeconds * Math.pow(2.0, (20.0 - temperatureC) / lagDoublesPerC)
        : tauSeconds;
  }

  static ProbeTraits oxygen(Fittings fittings, Chance chance) {
    double t90 =
        fittings.oxygenT90Seconds() > 0.0
            ? fittings.oxygenT90Seconds()
            : chance.logBetween(15.0, 50.0);
    double noise =
        fittings.oxygenNoiseMgPerL() > 0.0
            ? fittings.oxygenNoiseMgPerL()
            : chance.logBetween(0.01, 0.05);
    return new ProbeTraits(
        t90 / TAUS_PER_T90,
        chance.between(1.5, 4.0),
        chance.happens(0.6) ? 0 : 1 + chance.below(MOST_DEAD_SECONDS),
        12.0,
        noise,
        0.01,
        1.0 + 0.008 * chance.normal(),
        0.03 * chance.normal(),
        fittings.oxygenSeconds(),
        chance.logBetween(0.005, 0.08),
        chance.logBetween(0.002, 0.02),
        stamp(chance));
  }

  static ProbeTraits temperature(Chance chance) {
    return new ProbeTraits(
        chance.between(3.0, 10.0),
        1.0,
        0,
        0.0,
        chance.between(0.005, 0.02),
        chance.happens(0.3) ? 0.1 : 0.01,
        1.0,
        chance.between(-0.15, 0.15),
        15.0,
        0.02,
        0.002,
        stamp(chance));
  }

  static ProbeTraits gasFlow(Tank.Supply supply, Fittings fittings, Chance chance) {
    double set = supply.flowLPerMin();
    return new ProbeTraits(
        chance.between(0.5, 2.0),
        0.2,
        0,
        0.0,
        set * chance.between(0.008, 0.02),
        set < 10.0 ? 0.01 : 0.1,
        1.0 + 0.01 * chance.normal(),
        0.002 * set * chance.normal(),
        fittings.oxygenSeconds(),
        chance.logBetween(0.005, 0.05),
        chance.logBetween(0.002, 0.02),
        stamp(chance));
  }

  static ProbeTraits linePressure(Fittings fittings, Chance chance) {
    return new ProbeTraits(
        0.5,
        0.1,
        0,
        0.0,
        0.001,
        0.001,
        1.0,
        0.001 * chance.normal(),
        2.0 * fittings.oxygenSeconds(),
        0.02,
        0.002,
        1L);
  }

  static ProbeTraits cylinderPressure(Chance chance) {
    return new ProbeTraits(
        1.0, 0.1, 0, 0.0, 0.2, 0.1, 1.0 + 0.003 * chance.normal(), 0.0, 30.0, 0.01, 0.0, 1000L);
  }

  private static long stamp(Chance chance) {
    return switch (chance.below(4)) {
      case 0 -> 1000L;
      case 1 -> 100L;
      default -> 1L;
    };
  }
}
