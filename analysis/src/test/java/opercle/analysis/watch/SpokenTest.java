// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.Band;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

class SpokenTest {

  private static final Instant NOW = Instant.parse("2026-03-14T02:11:07Z");
  private static final TimeInHand HOLDING = new TimeInHand.Holding();
  private static final TimeInHand UNKNOWN = new TimeInHand.Unknown("no oxygen reading");

  @Test
  void gasLostOnTheRoad_isOneBreath() {
    assertThat(spoken(Tank.Kind.TRANSPORT, AlarmCause.GAS_LINE_STOPPED, minutes(9.9)))
        .isEqualTo("Tank 2, gas lost, about 9 minutes. Stop when safe.");
  }

  @Test
  void gasLostInTheYard_asksSomebodyToGo() {
    assertThat(spoken(Tank.Kind.HOLDING, AlarmCause.GAS_LINE_STOPPED, minutes(31.5)))
        .isEqualTo("Tank 2, gas lost, about 31 minutes. Go to it now.");
  }

  @ParameterizedTest
  @CsvSource({
    "0, no time in hand",
    "0.9, less than a minute",
    "1.9, about 1 minute",
    "2, about 2 minutes",
    "119.9, about 119 minutes",
    "120, about 2 hours",
    "239, about 3 hours"
  })
  void minutes_areCut_neverRoundedUp(double minutes, String words) {
    assertThat(spoken(Tank.Kind.TRANSPORT, AlarmCause.OXYGEN_FALLING, minutes(minutes)))
        .isEqualTo("Tank 2, oxygen falling, " + words + ". Stop when safe.");
  }

  @Test
  void gasLost_countsFromTheShorterTime_thoughOxygenHardlyFallsYet() {
    assertThat(
            spoken(
                tank(Tank.Kind.TRANSPORT),
                alarm(AlarmCause.GAS_LINE_STOPPED, Priority.HIGH),
                state(minutes(640), minutes(12))))
        .contains("about 12 minutes");
    assertThat(
            spoken(
                tank(Tank.Kind.TRANSPORT),
                alarm(AlarmCause.GAS_LINE_STOPPED, Priority.HIGH),
                state(HOLDING, minutes(12))))
        .contains("about 12 minutes");
    assertThat(
            spoken(
                tank(Tank.Kind.TRANSPORT),
                alarm(AlarmCause.GAS_LINE_STOPPED, Priority.HIGH),
                state(HOLDING, UNKNOWN)))
        .contains("time not known");
  }

  @Test
  void timeThatIsNotKnown_isSaid() {
    assertThat(spoken(Tank.Kind.TRANSPORT, AlarmCause.OXYGEN_LOW, UNKNOWN))
        .isEqualTo("Tank 2, oxygen low, time not known. Stop when safe.");
  }

  @ParameterizedTest
  @EnumSource(AlarmCause.class)
  void everyCause_isShortEnoughForOneBreath(AlarmCause cause) {
    String spoken = spoken(Tank.Kind.TRANSPORT, cause, minutes(9));

    assertThat(spoken).startsWith("Tank 2, ").endsWith(" Stop when safe.");
    assertThat(spoken.split(" ")).hasSizeLessThanOrEqualTo(15);
  }

  @Test
  void medium_waitsForTheNextStop() {
    assertThat(
            spoken(
                tank(Tank.Kind.TRANSPORT),
                alarm(AlarmCause.CYLINDER_LOW, Priority.MEDIUM),
                state(HOLDING, HOLDING)))
        .isEqualTo("Tank 2, cylinder running low. Look at the next stop.");
  }

  @Test
  void alarmOfSeveralTanks_namesTheOneWithTheLeastTime_andItsTime() {
    Tank own = tank(Tank.Kind.HOLDING);
    Alarm a = alarm(AlarmCause.GAS_LINE_STOPPED, Priority.HIGH);
    Alarm ofThree =
        new Alarm(
            a.tank(),
            a.cause(),
            a.priority(),
            a.state(),
            a.since(),
            a.acknowledgedBy(),
            a.message(),
            true,
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            List.of("h7", own.id(), "h9"),
            OptionalDouble.of(8.9));
    Tank worst =
        new Tank(
            "h7",
            "Holding 7",
            own.kind(),
            own.waterLitres(),
            own.depthM(),
            own.supply(),
            own.loads(),
            own.floors());

    assertThat(
            Spoken.of(
                new Farm("Sallowmere", 40, List.of(own, worst)),
                own,
                ofThree,
                state(minutes(120), minutes(120))))
        .isEqualTo("Holding 7 and 2 more, gas lost, about 8 minutes. Go to it now.");
  }

  private static String spoken(Tank tank, Alarm alarm, TankState state) {
    return Spoken.of(new Farm("Sallowmere", 40, List.of(tank)), tank, alarm, state);
  }

  private static String spoken(Tank.Kind kind, AlarmCause cause, TimeInHand time) {
    return spoken(tank(kind), alarm(cause, Priority.HIGH), state(time, HOLDING));
  }

  private static TimeInHand minutes(double likely) {
    return new TimeInHand.Minutes(Band.exactly(likely));
  }

  private static Tank tank(Tank.Kind kind) {
    return new Tank(
        "t2",
        "Tank 2",
        kind,
        650.0,
        0.7,
        new Tank.Supply(
            Tank.Gas.OXYGEN,
            Tank.Source.CYLINDER,
            Tank.Diffuser.CERAMIC,
            2.5,
            Optional.of(new Tank.Cylinder(20.0, 200.0))),
        List.of(),
        Optional.empty());
  }

  private static Alarm alarm(AlarmCause cause, Priority priority) {
    return new Alarm(
        "t2",
        cause,
        priority,
        AlarmState.UNACKNOWLEDGED,
        NOW,
        Optional.empty(),
        "Tank 2: a message.");
  }

  private static TankState state(TimeInHand time, TimeInHand ifGasStops) {
    return new TankState(
        "t2",
        NOW,
        Optional.of(NOW),
        OptionalDouble.empty(),
        OptionalDouble.empty(),
        OptionalDouble.empty(),
        OptionalDouble.empty(),
        OptionalDouble.empty(),
        OptionalDouble.empty(),
        time,
        ifGasStops,
        List.of());
  }
}
