// SPDX-License-Identifier: Apache-2.0
package opercle.simulator;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.simulator.physics.Chance;
import opercle.simulator.probe.Fittings;

/**
 * Farms of any size for load tests: drawn tanks that report oxygen, flow and temperature at a rate.
 * For loopback only; a load test against somebody's broker is not ours to start.
 */
public final class SyntheticFarm {

  private static final int MOST_TANKS = 10_000;

  /** Temperature is reported every fifteen seconds whatever the rate. */
  private static final double TEMPERATURES_PER_SECOND = 1.0 / 15.0;

  private SyntheticFarm() {}

  /**
   * A farm of so many tanks, {@code s0001} and so on; every fifth is a transport tank on oxygen.
   *
   * @param tanks 1–10,000
   */
  public static Farm of(int tanks, long seed) {
    if (tanks < 1 || tanks > MOST_TANKS) {
      throw new IllegalArgumentException(
          "a synthetic farm has 1 to %s tanks but was to have %s".formatted(MOST_TANKS, tanks));
    }
    List<Tank> drawn = new ArrayList<>(tanks);
    for (int i = 1; i <= tanks; i++) {
      String id = "s%04d".formatted(i);
      Tank.Kind kind = i % 5 == 0 ? Tank.Kind.TRANSPORT : Tank.Kind.HOLDING;
      drawn.add(TankDraw.draw(id, kind, Chance.of(seed, id)).tank());
    }
    return new Farm("Synthetic", 40.0, drawn);
  }

  /**
   * The same farm, running, with all its tanks together at a rate.
   *
   * @param readingsPerSecond of simulated time, all tanks together; at most 20 a second for a tank
   * @param start when it starts, simulated time
   */
  public static SimulatedFarm running(
      int tanks, double readingsPerSecond, Scenario scenario, long seed, Instant start) {
    double perTank = readingsPerSecond / tanks;
    if (!(perTank > TEMPERATURES_PER_SECOND && perTank <= 20.0)) {
      throw new IllegalArgumentException(
          "each tank reports more than 1 reading in 15 s and at most 20 a second, but %s readings a second from %s tanks are %s"
              .formatted(readingsPerSecond, tanks, perTank));
    }
    double interval = 2.0 / (perTank - TEMPERATURES_PER_SECOND);
    Fittings fittings = new Fittings(1, true, false, false, interval, 0.0, 0.0);
    int warmUpSeconds = Math.min(Setup.USUAL.warmUpSeconds(), 1_000_000 / tanks);
    return new SimulatedFarm(
        of(tanks, seed),
        scenario,
        seed,
        start,
        (tank, index) -> fittings,
        new Setup(warmUpSeconds, Setup.USUAL.traits()));
  }
}
