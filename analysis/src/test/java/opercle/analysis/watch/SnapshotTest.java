// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.farm.Farm;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import org.junit.jupiter.api.Test;

class SnapshotTest {

  private static final Farm FARM = SallowmereTanks.farm(SallowmereTanks.holding());

  @Test
  void watch_restartedAtEveryReading_saysTheSame() {
    FarmWatch through = new FarmWatch(FARM);
    FarmWatch restarted = new FarmWatch(FARM);
    List<AlarmEvent> said = new ArrayList<>();
    for (Reading reading : nightWithFall()) {
      restarted = FarmWatch.restore(FARM, restarted.snapshot());
      List<AlarmEvent> events = through.accept(reading);
      assertThat(restarted.accept(reading)).isEqualTo(events);
      said.addAll(events);
    }

    assertThat(said)
        .extracting(AlarmEvent::cause)
        .contains(AlarmCause.GAS_NOT_REACHING_WATER, AlarmCause.OXYGEN_LOW);
    assertThat(restarted.snapshot()).isEqualTo(through.snapshot());
    assertThat(restarted.states(SallowmereTanks.at(5400)))
        .isEqualTo(through.states(SallowmereTanks.at(5400)));
  }

  @Test
  void snapshot_isNotTouchedByWhatComesLater() {
    FarmWatch watch = new FarmWatch(FARM);
    List<Reading> readings = nightWithFall();
    readings.subList(0, 100).forEach(watch::accept);
    FarmWatch.Snapshot before = watch.snapshot();
    FarmWatch.Snapshot same = watch.snapshot();
    readings.subList(100, 200).forEach(watch::accept);

    assertThat(before).isEqualTo(same).isNotEqualTo(watch.snapshot());
  }

  private static List<Reading> nightWithFall() {
    Signals signal = new Signals(11, 5.0, 0.05, 30.0, 0.05).fallingFrom(3600.0, 0.2);
    List<Reading> readings = new ArrayList<>();
    while (signal.now() < 5400.0) {
      double mgPerL = signal.next();
      double second = signal.now();
      readings.add(SallowmereTanks.reading("h1", Quantity.TEMPERATURE, second, 12.0));
      readings.add(SallowmereTanks.reading("h1", Quantity.OXYGEN, second, mgPerL));
    }
    return readings;
  }
}
