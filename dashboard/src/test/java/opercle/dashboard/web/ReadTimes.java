// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.time.Instant;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.watch.Origins;
import opercle.analysis.watch.TankChecks;
import opercle.analysis.watch.TankState;

/**
 * When each value of a tank was read, for tests of how old it looks.
 *
 * @param oxygen when probe 1 read it
 * @param temperature the same
 * @param gasFlow the same
 */
record ReadTimes(Instant oxygen, Instant temperature, Instant gasFlow) {

  /** So many seconds before {@link FakeFarm#NIGHT}. */
  static ReadTimes before(long oxygen, long temperature, long gasFlow) {
    Instant night = FakeFarm.NIGHT;
    return new ReadTimes(
        night.minusSeconds(oxygen), night.minusSeconds(temperature), night.minusSeconds(gasFlow));
  }

  /** That state, its values read at these times, by a watch that is at work at that time. */
  TankState of(TankState s, Instant watched) {
    Instant newest = oxygen.isAfter(temperature) ? oxygen : temperature;
    return new TankState(
        s.tank(),
        watched,
        Optional.of(newest.isAfter(gasFlow) ? newest : gasFlow),
        s.oxygenMgPerL(),
        s.saturationPercent(),
        s.temperatureC(),
        s.gasFlowLPerMin(),
        s.slopeMgPerLPerMin(),
        s.demandMgPerKgPerHour(),
        s.timeInHand(),
        s.timeInHandIfGasStops(),
        s.alarms(),
        new TankChecks(
            TankChecks.Trust.UNKNOWN,
            TankChecks.Supply.UNKNOWN,
            OptionalDouble.empty(),
            OptionalDouble.empty(),
            OptionalDouble.empty(),
            new Origins(
                heard(oxygen),
                heard(temperature),
                heard(gasFlow),
                Optional.of(false),
                Optional.empty())));
  }

  private static Optional<Origins.Heard> heard(Instant at) {
    return Optional.of(new Origins.Heard("1", at));
  }
}
