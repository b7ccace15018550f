// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import opercle.analysis.trip.MeasuredDemand;
import opercle.analysis.trip.PastDemand;

/**
 * When a trip or a night was in which tank.
 *
 * @param tank its id
 * @param from its loading
 * @param to its unloading
 */
record TripSpan(String tank, Instant from, Instant to) {

  private boolean overlaps(TripSpan other) {
    return tank.equals(other.tank) && from.isBefore(other.to) && other.from.isBefore(to);
  }

  /**
   * Of what was taught by one tank in spans that overlap, one: the surer, else the earlier. The
   * same fish at the same time are one observation and no more.
   *
   * @param demands oldest first
   * @param spans by trip
   */
  static List<PastDemand> once(List<PastDemand> demands, Map<String, TripSpan> spans) {
    List<PastDemand> surerFirst = new ArrayList<>(demands);
    surerFirst.sort(Comparator.comparing(d -> d.way() != MeasuredDemand.Way.GAS_OFF));
    List<PastDemand> kept = new ArrayList<>();
    List<TripSpan> taken = new ArrayList<>();
    for (PastDemand demand : surerFirst) {
      TripSpan span = spans.get(demand.trip());
      if (span != null && taken.stream().anyMatch(span::overlaps)) {
        continue;
      }
      kept.add(demand);
      if (span != null) {
        taken.add(span);
      }
    }
    return demands.stream().filter(kept::contains).toList();
  }
}
