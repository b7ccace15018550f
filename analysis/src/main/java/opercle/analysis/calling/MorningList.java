// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Predicate;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.calling.CallingState.Occurrence;
import opercle.analysis.calling.CallingState.Waiting;
import opercle.analysis.calling.CallingState.WaitingTrouble;
import opercle.analysis.monitor.MonitorTrouble;
import opercle.analysis.monitor.TroubleKey;

/** What came up in the night and waits for the morning. One thread, one turn. */
final class MorningList {

  private final List<Waiting> alarms;
  private final List<WaitingTrouble> troubles;

  MorningList(CallingState state) {
    this.alarms = new ArrayList<>(state.waiting());
    this.troubles = new ArrayList<>(state.waitingTroubles());
  }

  void add(AlarmEvent event, Instant until) {
    String key = Occurrence.key(event);
    alarms.removeIf(w -> Occurrence.key(w.event()).equals(key)); // had and back: once
    alarms.add(new Waiting(event, until));
  }

  void add(MonitorTrouble trouble, Instant until) {
    troubles.removeIf(w -> w.trouble().key().equals(trouble.key())); // it came and went: once
    troubles.add(new WaitingTrouble(trouble, until));
  }

  /**
   * Takes out what is due, as it stands now; what still does comes first.
   *
   * @param at now, by the wall clock
   * @param known alarms, by occurrence: one that is not there has passed
   * @param stands whether a trouble of the monitor stands
   */
  About takeDue(Instant at, Map<String, Occurrence> known, Predicate<TroubleKey> stands) {
    Set<String> over = new HashSet<>();
    List<AlarmEvent> events = new ArrayList<>();
    for (Waiting w : alarms) {
      if (!w.until().isAfter(at)) {
        String key = Occurrence.key(w.event());
        AlarmEvent newest =
            Optional.ofNullable(known.get(key)).map(Occurrence::event).orElse(w.event());
        events.add(newest);
        if (!known.containsKey(key) || Occurrence.hasEnded(newest)) {
          over.add(key);
        }
      }
    }
    List<MonitorTrouble> found = new ArrayList<>();
    for (WaitingTrouble w : troubles) {
      if (!w.until().isAfter(at)) {
        found.add(w.trouble());
        if (!stands.test(w.trouble().key())) {
          over.add(w.trouble().key().id());
        }
      }
    }
    alarms.removeIf(w -> !w.until().isAfter(at));
    troubles.removeIf(w -> !w.until().isAfter(at));
    events.sort(Comparator.comparing(e -> over.contains(Occurrence.key(e))));
    found.sort(Comparator.comparing(t -> over.contains(t.key().id())));
    return new About(events, found, Optional.empty(), over);
  }

  List<Waiting> alarms() {
    return alarms;
  }

  List<WaitingTrouble> troubles() {
    return troubles;
  }
}
