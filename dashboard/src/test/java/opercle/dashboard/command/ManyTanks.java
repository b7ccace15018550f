// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.time.Instant;
import java.time.InstantSource;
import java.time.ZoneId;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.stream.IntStream;
import opercle.analysis.Band;
import opercle.analysis.evening.Morning;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.analysis.publish.TankAct;
import opercle.analysis.stock.Species;
import opercle.analysis.watch.Origins;
import opercle.analysis.watch.TankChecks;
import opercle.analysis.watch.TankState;
import opercle.analysis.watch.TimeInHand;
import opercle.dashboard.web.LiveFarm;
import opercle.dashboard.web.NotTaken;

/** So many tanks, h1 and on, whose oxygen changes every second. */
final class ManyTanks implements LiveFarm {

  private final List<Tank> tanks;

  private final InstantSource clock;
  private final ZoneId zone;

  ManyTanks(int count) {
    this(count, InstantSource.system(), ZoneId.systemDefault());
  }

  /** The same at another time, by another clock. */
  ManyTanks(int count, InstantSource clock, ZoneId zone) {
    this.clock = clock;
    this.zone = zone;
    tanks = IntStream.rangeClosed(1, count).mapToObj(ManyTanks::tank).toList();
  }

  private static Tank tank(int number) {
    return new Tank(
        "h" + number,
        "Holding " + number,
        Tank.Kind.HOLDING,
        1500.0,
        0.8,
        new Tank.Supply(
            Tank.Gas.AIR, Tank.Source.BLOWER, Tank.Diffuser.POROUS_HOSE, 45.0, Optional.empty()),
        List.of(new Tank.Load(Species.TENCH, 55.0, OptionalInt.of(70), Optional.of(Instant.EPOCH))),
        Optional.empty());
  }

  @Override
  public Farm farm() {
    return new Farm("Sallowmere", 40.0, tanks);
  }

  @Override
  public Instant now() {
    return clock.instant();
  }

  @Override
  public Morning morning() {
    return new Morning(Morning.USUAL, zone);
  }

  @Override
  public List<TankState> states() {
    Instant now = now();
    return tanks.stream().map(tank -> state(tank.id(), now)).toList();
  }

  private static TankState state(String tank, Instant now) {
    double wave = Math.sin((double) (now.getEpochSecond() + tank.hashCode()));
    double minutes = 60.0 + 20.0 * wave;
    Optional<Origins.Heard> read = Optional.of(new Origins.Heard("1", now));
    return new TankState(
        tank,
        now,
        Optional.of(now),
        OptionalDouble.of(9.0 + wave),
        OptionalDouble.of(88.0 + 5.0 * wave),
        OptionalDouble.of(12.0 + 0.2 * wave),
        OptionalDouble.of(45.0 + wave),
        OptionalDouble.of(0.01 * wave),
        OptionalDouble.of(58.0),
        new TimeInHand.Holding(),
        new TimeInHand.Minutes(new Band(0.75 * minutes, minutes, 1.3 * minutes)),
        List.of(),
        new TankChecks(
            TankChecks.Trust.UNKNOWN,
            TankChecks.Supply.UNKNOWN,
            OptionalDouble.empty(),
            OptionalDouble.empty(),
            OptionalDouble.empty(),
            new Origins(read, read, read, Optional.of(false), Optional.empty())));
  }

  @Override
  public void perform(TankAct act) {}

  @Override
  public NotTaken notTaken() {
    return NotTaken.NOTHING;
  }

  @Override
  public List<String> troubles() {
    return List.of();
  }
}
