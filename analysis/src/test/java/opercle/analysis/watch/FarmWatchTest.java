// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import opercle.analysis.farm.Farm;
import opercle.analysis.water.AirPressure;
import opercle.analysis.water.BensonKrause1984;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import org.junit.jupiter.api.Test;

class FarmWatchTest extends WatchedHolding {

  @Test
  void steadyTank_raisesNothing_andStateShowsIt() {
    steady(0, 600);

    TankState state = watch.state(TANK, SallowmereTanks.at(600));
    assertThat(events).isEmpty();
    assertThat(state.oxygenMgPerL()).hasValue(9.0);
    assertThat(state.temperatureC()).hasValue(12.0);
    assertThat(state.gasFlowLPerMin()).hasValue(45.0);
    assertThat(state.saturationPercent().orElseThrow()).isBetween(80.0, 90.0);
    assertThat(state.demandMgPerKgPerHour().orElseThrow()).isBetween(40.0, 90.0);
    assertThat(state.timeInHand()).isInstanceOf(TimeInHand.Holding.class);
    assertThat(state.timeInHandIfGasStops().likelyMinutes().orElseThrow()).isBetween(120.0, 400.0);
    assertThat(state.newestReading()).contains(SallowmereTanks.at(595));
  }

  @Test
  void gasStopped_isRaisedInWordsForThreeInTheMorning() {
    steady(0, 600);
    gas(600, 0.0);
    gas(605, 0.0);
    assertThat(events).isEmpty();
    gas(610, 0.0);

    AlarmEvent event = only(AlarmEvent.Kind.RAISED);
    assertThat(event.cause()).isEqualTo(AlarmCause.GAS_LINE_STOPPED);
    assertThat(event.priority()).isEqualTo(Priority.HIGH);
    assertThat(event.oxygenMgPerL()).hasValue(9.0);
    assertThat(event.timeInHandMinutes()).isPresent();
    assertThat(event.message())
        .matches(
            "Holding 1: no gas flow for 10 s\\. About \\d+ (min|h) in hand\\. "
                + "Go and get the blower running: look at power, blower, valve and hose, in that order\\.");
  }

  @Test
  void gasStopped_withALotOfTime_escalatesAsTimeRunsOut() {
    Farm light =
        SallowmereTanks.farm(
            new opercle.analysis.farm.Tank(
                TANK,
                "Holding 1",
                opercle.analysis.farm.Tank.Kind.HOLDING,
                1500.0,
                0.8,
                SallowmereTanks.holding().supply(),
                List.of(SallowmereTanks.load(opercle.analysis.stock.Species.TENCH, 20.0, 20)),
                java.util.Optional.empty()));
    watch.describe(light);
    steady(0, 600);
    for (int s = 600; s < 30_000; s += 30) {
      gas(s, 0.0);
      oxygen(s + 1, 9.0 - (s - 600) / 60.0 * 0.015);
    }

    assertThat(events.get(0).priority()).isEqualTo(Priority.MEDIUM);
    assertThat(events)
        .filteredOn(e -> e.event() == AlarmEvent.Kind.ESCALATED)
        .filteredOn(e -> e.cause() == AlarmCause.GAS_LINE_STOPPED)
        .singleElement()
        .satisfies(e -> assertThat(e.priority()).isEqualTo(Priority.HIGH));
  }

  @Test
  void gasBack_clearsAfterTheOffDelay_butStaysUntilSomebodyHasLooked() {
    steady(0, 600);
    gas(600, 0.0);
    gas(605, 0.0);
    gas(610, 0.0);
    steady(615, 800);

    assertThat(events).hasSize(2);
    AlarmEvent cleared = events.get(1);
    assertThat(cleared.event()).isEqualTo(AlarmEvent.Kind.CLEARED);
    assertThat(cleared.state()).isEqualTo(AlarmState.LATCHED_UNACKNOWLEDGED);
    assertThat(cleared.message()).isEqualTo("Holding 1: gas is flowing again, oxygen 9.0 mg/L.");
  }

  @Test
  void emptyTank_hasNoGasOrOxygenAlarm() {
    watch.describe(SallowmereTanks.farm(SallowmereTanks.emptied(SallowmereTanks.holding())));
    steady(0, 600);
    for (int s = 600; s < 1200; s += 5) {
      gas(s, 0.0);
      oxygen(s, 1.0);
    }
    tick(2000);

    assertThat(events).isEmpty();
  }

  @Test
  void oxygenBelowTheKeepFloor_needsTwoSamples() {
    steady(0, 600);
    oxygen(600, 5.9);
    oxygen(605, 6.1);
    oxygen(610, 5.9);
    assertThat(events).isEmpty();
    oxygen(615, 5.9);

    AlarmEvent event = only(AlarmEvent.Kind.RAISED);
    assertThat(event.cause()).isEqualTo(AlarmCause.OXYGEN_LOW);
    assertThat(event.message())
        .startsWith("Holding 1: oxygen 5.9 mg/L, below the keep floor of 6.0");
  }

  @Test
  void oxygenBelowTheCriticalFloor_escalatesToHigh() {
    for (int s = 0; s < 1200; s += 5) {
      oxygen(s, 5.5);
    }
    assertThat(events).singleElement().extracting(AlarmEvent::priority).isEqualTo(Priority.MEDIUM);
    oxygen(1200, 2.4);
    oxygen(1205, 2.4);

    AlarmEvent last = events.get(events.size() - 1);
    assertThat(last.event()).isEqualTo(AlarmEvent.Kind.ESCALATED);
    assertThat(last.priority()).isEqualTo(Priority.HIGH);
    assertThat(watch.standing().get(0).message())
        .contains("oxygen 2.4 mg/L, below the critical floor of 2.5 mg/L")
        .contains("No time in hand");
  }

  @Test
  void oxygenHoveringAtTheFloor_doesNotChatter() {
    for (int s = 0; s < 36_000; s += 5) {
      oxygen(s, s / 5 % 4 < 2 ? 5.95 : 6.15);
    }

    assertThat(events)
        .filteredOn(e -> e.cause() == AlarmCause.OXYGEN_LOW)
        .singleElement()
        .extracting(AlarmEvent::event)
        .isEqualTo(AlarmEvent.Kind.RAISED);
  }

  @Test
  void oxygenSettledNearTheCriticalFloor_isUrgentWithoutAnyTrend() {
    for (int s = 0; s < 600; s += 5) {
      temperature(s, 12.0);
      oxygen(s, 3.9); // the floors are 6 and 2.5 mg/L
      tick(s);
    }

    assertThat(events)
        .filteredOn(e -> e.cause() == AlarmCause.OXYGEN_LOW)
        .first()
        .satisfies(
            e -> {
              assertThat(e.priority()).isEqualTo(Priority.HIGH);
              assertThat(e.message())
                  .as("that it shows no trend is no comfort")
                  .doesNotContain("holding.")
                  .containsAnyOf("not falling fast now. About", "Time in hand not known");
            });
    assertThat(watch.standing().get(0).message()).contains("not falling fast now. About");
  }

  @Test
  void meterSaysStopped_timeInHandIsThatWithoutGas() {
    steady(0, 600);
    for (int s = 600; s <= 620; s += 5) {
      gas(s, 0.0);
      temperature(s, 12.0);
      oxygen(s, 9.0);
    }

    TankState state = watch.state(TANK, SallowmereTanks.at(620));
    assertThat(state.timeInHand()).isEqualTo(state.timeInHandIfGasStops());
    assertThat(state.timeInHand()).isInstanceOf(TimeInHand.Minutes.class);
  }

  @Test
  void restoredAlarm_ofATankEmptiedMeanwhile_ends() {
    steady(0, 600);
    gas(600, 0.0);
    gas(605, 0.0);
    gas(610, 0.0);
    FarmWatch restarted =
        new FarmWatch(SallowmereTanks.farm(SallowmereTanks.emptied(SallowmereTanks.holding())));
    restarted.restoreAlarms(watch.alarms());
    restarted.startListening();
    List<AlarmEvent> said = new ArrayList<>();
    for (int s = 700; s < 900; s++) {
      said.addAll(restarted.tick(SallowmereTanks.at(s)));
    }

    assertThat(said)
        .singleElement()
        .satisfies(e -> assertThat(e.event()).isEqualTo(AlarmEvent.Kind.CLEARED));
  }

  @Test
  void duplicatesAndLateReadings_changeNothing() {
    steady(0, 600);
    TankState before = watch.state(TANK, SallowmereTanks.at(600));
    oxygen(595, 3.0);
    oxygen(590, 2.0);
    gas(100, 0.0);
    gas(105, 0.0);

    assertThat(events).isEmpty();
    assertThat(watch.state(TANK, SallowmereTanks.at(600))).isEqualTo(before);
    assertThat(watch.ignoredReadings()).isEqualTo(4);
  }

  @Test
  void percentOfSaturation_isConvertedAtTheTanksTemperatureAndAltitude() {
    temperature(0, 10.0);
    accept(SallowmereTanks.reading(TANK, Quantity.OXYGEN_SATURATION, 1, 80.0));

    double saturation =
        new BensonKrause1984().saturationMgPerL(10.0, 0.0, AirPressure.atAltitudeKPa(40.0));
    assertThat(watch.state(TANK, SallowmereTanks.at(2)).oxygenMgPerL().orElseThrow())
        .isCloseTo(0.8 * saturation, within(1e-9));
  }

  @Test
  void percentWithoutTemperature_saysWhatIsMissing() {
    accept(SallowmereTanks.reading(TANK, Quantity.OXYGEN_SATURATION, 1, 80.0));

    assertThat(watch.state(TANK, SallowmereTanks.at(2)).timeInHand())
        .isEqualTo(
            new TimeInHand.Unknown(
                "oxygen comes in percent and there is no usable water temperature"));
  }

  @Test
  void percentBesideMilligrams_isNotASecondProbe() {
    temperature(0, 10.0);
    oxygen(1, 9.0);
    accept(SallowmereTanks.reading(TANK, Quantity.OXYGEN_SATURATION, 1, 20.0));

    assertThat(watch.state(TANK, SallowmereTanks.at(2)).oxygenMgPerL()).hasValue(9.0);
  }

  @Test
  void temperatureOutsideAFormulasRange_doesNotThrow() {
    for (double t : new double[] {-10.0, -0.3, 0.0, 29.9, 45.0, 60.0}) {
      FarmWatch other = new FarmWatch(SallowmereTanks.farm(SallowmereTanks.holding()));
      other.accept(SallowmereTanks.reading(TANK, Quantity.TEMPERATURE, 0, t));
      other.accept(SallowmereTanks.reading(TANK, Quantity.OXYGEN, 1, 9.0));
      for (int s = 2; s < 30; s++) {
        other.accept(SallowmereTanks.reading(TANK, Quantity.GAS_FLOW, s, 0.0));
      }
      TankState state = other.state(TANK, SallowmereTanks.at(30));
      assertThat(state.alarms()).extracting(Alarm::cause).contains(AlarmCause.GAS_LINE_STOPPED);
      assertThat(state.timeInHandIfGasStops() instanceof TimeInHand.Unknown)
          .as("%s °C", t)
          .isEqualTo(t < -0.5 || t > 40.5);
    }
  }

  @Test
  void unknownTank_isCounted() {
    accept(SallowmereTanks.reading("nowhere", Quantity.OXYGEN, 0, 9.0));

    assertThat(watch.unknownTankReadings()).isEqualTo(1);
    assertThatThrownBy(() -> watch.state("nowhere", SallowmereTanks.T0))
        .hasMessageContaining("nowhere")
        .hasMessageContaining("h1");
  }

  @Test
  void acknowledgement_isByName() {
    steady(0, 600);
    gas(600, 0.0);
    gas(605, 0.0);
    gas(610, 0.0);
    events.clear();
    events.addAll(
        watch.acknowledge(TANK, AlarmCause.GAS_LINE_STOPPED, "Ann", SallowmereTanks.at(640)));

    assertThat(only(AlarmEvent.Kind.ACKNOWLEDGED).state()).isEqualTo(AlarmState.ACKNOWLEDGED);
    assertThat(watch.standing())
        .singleElement()
        .extracting(Alarm::acknowledgedBy)
        .isEqualTo(java.util.Optional.of("Ann"));
  }

  @Test
  void endlessNewProbes_doNotGrowTheWatch() {
    for (int i = 0; i < 10_000; i++) {
      watch.accept(new Reading(TANK, Quantity.OXYGEN, "p" + i, SallowmereTanks.at(i), 9.0));
    }

    assertThat(watch.ignoredReadings()).isEqualTo(10_000 - Probes.MOST_PER_QUANTITY);
  }
}
