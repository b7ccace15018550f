// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.analysis.stock.Species;
import opercle.analysis.watch.TankState;
import opercle.analysis.watch.TimeInHand;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Whether the heartbeat may go on though no reading comes: only where people know of it. */
class SilenceTest {

  private static final Instant NIGHT = Instant.parse("2026-03-14T02:11:07Z");

  @ParameterizedTest
  @CsvSource({
    "true, PROBE_SILENT, HIGH, UNACKNOWLEDGED, false", // a thermometer; the oxygen is heard
    "false, PROBE_SILENT, HIGH, UNACKNOWLEDGED, true",
    "false, PROBE_SILENT, MEDIUM, UNACKNOWLEDGED, false", // calls nobody at night
    "false, PROBE_SILENT, LOW, UNACKNOWLEDGED, false",
    "false, PROBE_SILENT, HIGH, ACKNOWLEDGED, true",
    "false, PROBE_SILENT, MEDIUM, ACKNOWLEDGED, true",
    "false, PROBE_SILENT, HIGH, SHELVED, false",
    "false, PROBE_SILENT, HIGH, OUT_OF_SERVICE, false",
    "false, OXYGEN_LOW, HIGH, UNACKNOWLEDGED, false"
  })
  void silence_isKnown_wherePeopleAreCalledOrSomebodyHasIt(
      boolean heard, AlarmCause cause, Priority priority, AlarmState state, boolean known) {
    Alarm alarm =
        new Alarm("h1", cause, priority, state, NIGHT, Optional.of("Maren"), "Holding 1: x.");

    assertThat(SelfWatching.silenceIsAlarmed(farm(55), List.of(state(heard, alarm))))
        .isEqualTo(known);
    assertThat(SelfWatching.silenceIsAlarmed(farm(0), List.of(state(heard, alarm))))
        .as("no fish")
        .isTrue();
  }

  private static Farm farm(double kg) {
    return new Farm(
        "Sallowmere",
        40,
        List.of(
            new Tank(
                "h1",
                "Holding 1",
                Tank.Kind.HOLDING,
                1500,
                0.8,
                new Tank.Supply(
                    Tank.Gas.AIR,
                    Tank.Source.BLOWER,
                    Tank.Diffuser.POROUS_HOSE,
                    45,
                    Optional.empty()),
                kg > 0
                    ? List.of(
                        new Tank.Load(Species.TENCH, kg, OptionalInt.of(70), Optional.of(NIGHT)))
                    : List.of(),
                Optional.empty())));
  }

  private static TankState state(boolean heard, Alarm alarm) {
    OptionalDouble none = OptionalDouble.empty();
    return new TankState(
        "h1",
        NIGHT,
        Optional.of(NIGHT),
        heard ? OptionalDouble.of(8.6) : none,
        none,
        none,
        none,
        none,
        none,
        new TimeInHand.Unknown("no matter"),
        new TimeInHand.Unknown("no matter"),
        List.of(alarm));
  }
}
