// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import opercle.analysis.alarm.AlarmCause;
import opercle.simulator.NightKind;

/**
 * What each kind of night was first called: its true kind by the first cause that the watch
 * declared, of any priority, from the onset on (on quiet nights from the start) until the critical
 * floor or the end.
 *
 * @param rows by kind: how many nights were first called what; {@link #NONE} for nothing
 */
record Confusion(Map<NightKind, Map<String, Integer>> rows) {

  /** No cause was declared. */
  static final String NONE = "none";

  static Confusion of(List<NightRecord> nights) {
    Map<NightKind, Map<String, Integer>> rows = new EnumMap<>(NightKind.class);
    for (NightRecord night : nights) {
      rows.computeIfAbsent(night.kind(), k -> new TreeMap<>())
          .merge(firstCalled(night), 1, Integer::sum);
    }
    return new Confusion(rows);
  }

  private static String firstCalled(NightRecord night) {
    return night.told().stream()
        .filter(t -> Detection.inTime(night, t.call().at()))
        .findFirst()
        .map(t -> t.cause().id())
        .orElse(NONE);
  }

  /** The causes that occur, in the order of the contract, and last {@link #NONE}. */
  List<String> columns() {
    List<String> columns = new ArrayList<>();
    for (AlarmCause cause : AlarmCause.values()) {
      if (rows.values().stream().anyMatch(row -> row.containsKey(cause.id()))) {
        columns.add(cause.id());
      }
    }
    columns.add(NONE);
    return columns;
  }
}
