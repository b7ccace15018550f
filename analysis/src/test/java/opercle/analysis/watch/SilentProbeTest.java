// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import opercle.analysis.farm.Farm;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import org.junit.jupiter.api.Test;

class SilentProbeTest extends WatchedHolding {

  @Test
  void wholeLink_goingSilent_wakesOnlyWhenItLasts() {
    steady(0, 600);
    for (int s = 600; s <= 4800; s += 5) {
      tick(s);
    }

    List<AlarmEvent> silences =
        events.stream().filter(e -> e.cause() == AlarmCause.PROBE_SILENT).toList();
    assertThat(silences.get(0).priority()).isEqualTo(Priority.MEDIUM);
    assertThat(silences)
        .filteredOn(e -> e.event() == AlarmEvent.Kind.ESCALATED)
        .singleElement()
        .satisfies(
            e -> {
              assertThat(e.priority()).isEqualTo(Priority.HIGH);
              // Two hours and more in hand: an hour, no longer.
              assertThat(e.time()).isBetween(SallowmereTanks.at(4190), SallowmereTanks.at(4205));
            });
  }

  @Test
  void lastOxygenProbe_goingSilent_isUrgent() {
    steady(0, 600);
    for (int s = 600; s <= 655; s += 5) {
      gas(s, 45.0);
      temperature(s, 12.0);
      tick(s);
    }
    assertThat(events)
        .filteredOn(e -> e.cause() == AlarmCause.PROBE_SILENT)
        .singleElement()
        .satisfies(
            e -> {
              assertThat(e.priority()).isEqualTo(Priority.HIGH);
              assertThat(e.time()).isEqualTo(SallowmereTanks.at(655));
              assertThat(e.message())
                  .startsWith(
                      "Holding 1: oxygen probe 1 silent for 60 s; nothing watches the oxygen");
            });
    assertThat(watch.state(TANK, SallowmereTanks.at(700)).oxygenMgPerL()).isEmpty();
    assertThat(watch.state(TANK, SallowmereTanks.at(700)).timeInHand())
        .isInstanceOf(TimeInHand.Unknown.class);
  }

  @Test
  void slowProbe_isSilentAfterFiveOfItsOwnIntervals() {
    for (int s = 0; s <= 3000; s += 300) {
      oxygen(s, 9.0);
    }
    tick(3000 + 1499);
    assertThat(events).isEmpty();
    tick(3000 + 1500);

    assertThat(only(AlarmEvent.Kind.RAISED).cause()).isEqualTo(AlarmCause.PROBE_SILENT);
  }

  @Test
  void neverHeardProbe_inAReplay_isNoAlarm_butTheStateSaysSo() {
    tick(0);
    tick(36_000);

    assertThat(events).isEmpty();
    assertThat(watch.state(TANK, SallowmereTanks.at(36_000)).timeInHand())
        .isEqualTo(new TimeInHand.Unknown("no oxygen probe heard yet"));
  }

  @Test
  void stockedTankNeverHeard_isAnAlarmInItsOwnWords_onceProbesHadTheirTime() {
    watch.startListening();
    tickThrough(0, 299);
    assertThat(events).isEmpty();
    tickThrough(300, 310);

    AlarmEvent event = only(AlarmEvent.Kind.RAISED);
    assertThat(event.cause()).isEqualTo(AlarmCause.PROBE_SILENT);
    assertThat(event.priority()).isEqualTo(Priority.HIGH);
    assertThat(event.message())
        .startsWith("Holding 1: no reading since the start, 5 min ago; nothing watches the oxygen");
    for (int s = 311; s < 500; s++) {
      oxygen(s, 9.0);
      tick(s);
    }
    assertThat(events.get(events.size() - 1).event()).isEqualTo(AlarmEvent.Kind.CLEARED);
  }

  @Test
  void tankWhoseOxygenIsNeverHeard_isAnAlarmThoughOtherProbesSpeak() {
    watch.startListening();
    for (int s = 0; s < 400; s += 5) {
      tick(s);
      temperature(s, 12.0);
      gas(s, 45.0);
    }

    AlarmEvent event = only(AlarmEvent.Kind.RAISED);
    assertThat(event.priority()).isEqualTo(Priority.MEDIUM);
    assertThat(event.message()).contains("no oxygen reading since the start");
  }

  @Test
  void emptyTankNeverHeard_wakesNobody() {
    watch.describe(SallowmereTanks.farm(SallowmereTanks.emptied(SallowmereTanks.holding())));
    watch.startListening();
    tickThrough(0, 4000);

    assertThat(events).isEmpty();
  }

  @Test
  void tankDescribedWhileListening_isGivenItsTimeToo() {
    watch.startListening();
    for (int s = 0; s < 1000; s += 5) {
      tick(s);
      oxygen(s, 9.0);
    }
    watch.describe(SallowmereTanks.farm(SallowmereTanks.holding(), SallowmereTanks.transport()));
    for (int s = 1000; s < 1295; s += 5) {
      tick(s);
      oxygen(s, 9.0);
    }
    assertThat(events).isEmpty();
    tick(1300);

    assertThat(only(AlarmEvent.Kind.RAISED).tank()).isEqualTo("t1");
  }

  @Test
  void afterARestart_silenceCountsFromTheLastReading_butEveryProbeHasItsTime() {
    for (int s = 0; s < 1200; s += 60) { // a probe that speaks once a minute
      oxygen(s, 9.0);
      tick(s);
    }
    FarmWatch restarted =
        FarmWatch.restore(SallowmereTanks.farm(SallowmereTanks.holding()), watch.snapshot());
    restarted.startListening();
    for (int s = 4800; s < 5100; s++) { // an hour later
      events.addAll(restarted.tick(SallowmereTanks.at(s)));
    }
    assertThat(events).isEmpty();
    events.addAll(restarted.tick(SallowmereTanks.at(5100)));

    AlarmEvent event = only(AlarmEvent.Kind.RAISED);
    assertThat(event.cause()).isEqualTo(AlarmCause.PROBE_SILENT);
    assertThat(event.message()).startsWith("Holding 1: oxygen probe 1 silent for 66 min");
  }

  @Test
  void afterARestart_aTankIsUnknownUntilItIsHeard() {
    steady(0, 600);
    FarmWatch restarted =
        FarmWatch.restore(SallowmereTanks.farm(SallowmereTanks.holding()), watch.snapshot());
    restarted.startListening();
    restarted.tick(SallowmereTanks.at(4200));

    assertThat(restarted.state(TANK, SallowmereTanks.at(4200)).timeInHand())
        .isEqualTo(new TimeInHand.Unknown("no oxygen reading of late"));
    assertThat(restarted.state(TANK, SallowmereTanks.at(4200)).oxygenMgPerL()).isEmpty();
  }

  @Test
  void probeTakenOut_isForgottenAtAStartADayLater_andNotBefore() {
    for (int s = 0; s < 600; s += 10) {
      tick(s);
      oxygen(s, 9.0);
      accept(new Reading(TANK, Quantity.OXYGEN, "2", SallowmereTanks.at(s), 9.0));
    }
    FarmWatch sooner = startedAfterWithoutTheSecondProbe(80_000);
    assertThat(sooner.standing()).extracting(Alarm::cause).containsExactly(AlarmCause.PROBE_SILENT);

    FarmWatch later = startedAfterWithoutTheSecondProbe(90_000);
    assertThat(later.standing())
        .singleElement()
        .satisfies(a -> assertThat(a.state()).isEqualTo(AlarmState.RETURNED_UNACKNOWLEDGED));
  }

  /** Ten minutes after a start so many seconds on; oxygen probe 1 speaks all the time. */
  private FarmWatch startedAfterWithoutTheSecondProbe(int until) {
    Farm farm = SallowmereTanks.farm(SallowmereTanks.holding());
    FarmWatch running = FarmWatch.restore(farm, watch.snapshot());
    for (int s = 600; s < until; s += 10) {
      running.tick(SallowmereTanks.at(s));
      running.accept(SallowmereTanks.reading(TANK, Quantity.OXYGEN, s, 9.0));
    }
    FarmWatch started = FarmWatch.restore(farm, running.snapshot());
    started.restoreAlarms(running.alarms());
    started.startListening();
    for (int s = until; s < until + 600; s += 10) {
      started.tick(SallowmereTanks.at(s));
      started.accept(SallowmereTanks.reading(TANK, Quantity.OXYGEN, s, 9.0));
    }
    return started;
  }
}
