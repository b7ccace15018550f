// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import opercle.analysis.alarm.AlarmEvent;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;

/** A holding tank under watch, its readings given by the second, and all that the watch said. */
abstract class WatchedHolding {

  static final String TANK = "h1";

  final FarmWatch watch = new FarmWatch(SallowmereTanks.farm(SallowmereTanks.holding()));
  final List<AlarmEvent> events = new ArrayList<>();

  void steady(int from, int until) {
    for (int s = from; s < until; s += 5) {
      temperature(s, 12.0);
      gas(s, 45.0);
      oxygen(s, 9.0);
    }
  }

  void oxygen(int second, double mgPerL) {
    accept(SallowmereTanks.reading(TANK, Quantity.OXYGEN, second, mgPerL));
  }

  void gas(int second, double litresPerMinute) {
    accept(SallowmereTanks.reading(TANK, Quantity.GAS_FLOW, second, litresPerMinute));
  }

  void temperature(int second, double celsius) {
    accept(SallowmereTanks.reading(TANK, Quantity.TEMPERATURE, second, celsius));
  }

  void accept(Reading reading) {
    events.addAll(watch.accept(reading));
  }

  void tickThrough(int from, int to) {
    for (int s = from; s <= to; s++) {
      tick(s);
    }
  }

  void tick(int second) {
    events.addAll(watch.tick(SallowmereTanks.at(second)));
  }

  AlarmEvent only(AlarmEvent.Kind kind) {
    assertThat(events).hasSize(1);
    assertThat(events.get(0).event()).isEqualTo(kind);
    return events.get(0);
  }
}
