// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.evening;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.function.UnaryOperator;
import opercle.analysis.Band;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.OutOfService;
import opercle.analysis.alarm.Priority;
import opercle.analysis.evening.Check.Topic;
import opercle.analysis.evening.EveningCheck.TankEvening;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.analysis.stock.Species;
import opercle.analysis.watch.TankChecks;
import opercle.analysis.watch.TankChecks.Supply;
import opercle.analysis.watch.TankChecks.Trust;
import opercle.analysis.watch.TankState;
import opercle.analysis.watch.TimeInHand;

/** A farm at dusk: its tanks, how they are, and who is called. */
final class Evenings {

  private Evenings() {}

  static final Instant DUSK = Instant.parse("2026-03-14T21:00:00Z");
  static final Instant MORNING = Instant.parse("2026-03-15T07:00:00Z");

  static final ZoneId FARMS = ZoneId.of("Europe/London");

  static final TankChecks WELL =
      new TankChecks(
          Trust.TRUSTED,
          Supply.NORMAL,
          OptionalDouble.of(1_500.0),
          OptionalDouble.of(-0.2),
          OptionalDouble.of(30.0));

  static final Reach ANN =
      new Reach(
          true,
          List.of(
              new Reach.Way(
                  "Ann", "mail", Optional.of(DUSK.minus(Duration.ofHours(3))), Optional.empty())));

  static Check people(Reach reach) {
    EveningCheck evening =
        EveningCheck.of(
            new EveningView(
                new Farm("Sallowmere", 40.0, List.of(trailer(10.0))),
                DUSK,
                MORNING,
                FARMS,
                List.of(state("t1")),
                List.of(),
                reach));
    return evening.farm().stream().filter(c -> c.topic() == Topic.PEOPLE).findFirst().orElseThrow();
  }

  static EveningCheck check(Tank tank, TankState... states) {
    return EveningCheck.of(
        new EveningView(
            new Farm("Sallowmere", 40.0, List.of(tank)),
            DUSK,
            MORNING,
            FARMS,
            List.of(states),
            List.of(),
            ANN));
  }

  static TankEvening only(EveningCheck evening) {
    assertThat(evening.tanks()).hasSize(1);
    return evening.tanks().get(0);
  }

  static Check found(EveningCheck evening, Topic topic) {
    return only(evening).checks().stream()
        .filter(c -> c.topic() == topic)
        .findFirst()
        .orElseThrow();
  }

  static Tank trailer(double responseMinutes) {
    return tank("t1", Tank.Source.CYLINDER, OptionalDouble.of(responseMinutes), 140.0);
  }

  static Tank tank(String id, Tank.Source source, OptionalDouble response, double kg) {
    return new Tank(
        id,
        "Trailer tank",
        Tank.Kind.TRANSPORT,
        650.0,
        0.7,
        new Tank.Supply(
            Tank.Gas.OXYGEN,
            source,
            Tank.Diffuser.CERAMIC,
            2.5,
            source == Tank.Source.CYLINDER
                ? Optional.of(new Tank.Cylinder(20.0, 200.0))
                : Optional.empty()),
        List.of(new Tank.Load(Species.COMMON_CARP, kg, OptionalInt.of(60), Optional.empty())),
        Optional.of(new Tank.Floors(6.0, 3.0)),
        response);
  }

  static Tank onAir() {
    Tank t = tank("t1", Tank.Source.BLOWER, OptionalDouble.of(10.0), 140.0);
    return new Tank(
        t.id(),
        t.name(),
        Tank.Kind.HOLDING,
        t.waterLitres(),
        t.depthM(),
        new Tank.Supply(
            Tank.Gas.AIR, Tank.Source.BLOWER, Tank.Diffuser.CERAMIC, 45.0, Optional.empty()),
        t.loads(),
        t.floors(),
        t.responseMinutes());
  }

  static TankChecks checks(Trust trust, Supply supply, OptionalDouble cylinderMinutes) {
    return new TankChecks(
        trust, supply, cylinderMinutes, WELL.warmingCPerHour(), WELL.warmLimitC());
  }

  static TankState state(String tank) {
    return state(tank, c -> c);
  }

  static TankState state(String tank, UnaryOperator<TankChecks> change) {
    return new TankState(
        tank,
        DUSK,
        Optional.of(DUSK.minusSeconds(2)),
        OptionalDouble.of(9.4),
        OptionalDouble.of(88.0),
        OptionalDouble.of(12.0),
        OptionalDouble.of(2.5),
        OptionalDouble.of(0.0),
        OptionalDouble.of(64.0),
        new TimeInHand.Holding(),
        new TimeInHand.Minutes(new Band(20.0, 28.0, 40.0)),
        List.of(),
        change.apply(WELL));
  }

  static TankState at(TankState s, Instant time) {
    return with(s, time, s.alarms());
  }

  static TankState alarmed(AlarmState standing) {
    return with(
        state("t1"),
        DUSK,
        List.of(
            new Alarm(
                "t1",
                AlarmCause.CYLINDER_LOW,
                Priority.LOW,
                standing,
                DUSK.minusSeconds(600),
                Optional.of("Ann"),
                "Trailer tank: the cylinder lasts about 11 h more.")));
  }

  static TankState with(TankState s, Instant time, List<Alarm> alarms) {
    return with(s, time, alarms, s.outOfService());
  }

  static TankState with(
      TankState s, Instant time, List<Alarm> alarms, List<OutOfService> outOfService) {
    return new TankState(
        s.tank(),
        time,
        s.newestReading(),
        s.oxygenMgPerL(),
        s.saturationPercent(),
        s.temperatureC(),
        s.gasFlowLPerMin(),
        s.slopeMgPerLPerMin(),
        s.demandMgPerKgPerHour(),
        s.timeInHand(),
        s.timeInHandIfGasStops(),
        alarms,
        s.checks(),
        outOfService);
  }
}
