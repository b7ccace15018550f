// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

import java.time.Duration;
import java.time.Instant;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.function.Predicate;
import java.util.stream.Stream;
import opercle.dashboard.assess.NightRecord.Call;
import opercle.dashboard.assess.NightRecord.Told;
import opercle.simulator.NightKind.Group;

/**
 * Calls of high priority where nobody needed to get up. Each call counts, also the second about the
 * same thing. A call is not false if the true oxygen was at or below the keep floor then, or if the
 * critical floor was reached later on with nothing done.
 *
 * @param where which nights
 * @param detectors how often each detector called
 * @param causes what the watch's false calls were about, by cause id
 */
record FalseAlarmRow(String where, Map<Detector, Count> detectors, Map<String, Integer> causes) {

  private static final double CONFIDENCE = 0.95;

  /**
   * How often one detector called.
   *
   * @param tankNights of twelve hours, in which it had what it looks at
   * @param calls false ones
   */
  record Count(double tankNights, int calls) {

    double perHundredNights() {
      return 100.0 * calls / tankNights;
    }

    /** Exact one-sided Poisson limit at 95 %. */
    double upperLimitPerHundredNights() {
      return 100.0 * PoissonLimit.upper(calls, CONFIDENCE) / tankNights;
    }
  }

  /** Over whole nights that had no fault of supply or demand in them. */
  static FalseAlarmRow of(Group group, List<NightRecord> nights) {
    // A probe that is broken may be told with high priority: then nothing watches the tank.
    Predicate<Told> counts =
        group == Group.PROBE_FAULT
            ? t -> Signature.SUPPLY_OR_OXYGEN.contains(t.cause())
            : t -> true;
    String where =
        switch (group) {
          case QUIET -> "quiet";
          case NUISANCE -> "nuisances";
          case PROBE_FAULT -> "probe faults";
          case SUPPLY_FAULT, DEMAND_FAULT ->
              throw new IllegalArgumentException("a fault: " + group);
        };
    return count(
        where, nights.stream().filter(n -> n.kind().group() == group).toList(), counts, false);
  }

  /** Over the part of the nights with a fault that lies before its onset. */
  static FalseAlarmRow beforeFaults(List<NightRecord> nights) {
    return count(
        "before a fault",
        nights.stream().filter(n -> n.kind().isFault()).toList(),
        t -> true,
        true);
  }

  private static FalseAlarmRow count(
      String where, List<NightRecord> nights, Predicate<Told> counts, boolean beforeOnset) {
    Map<Detector, Count> detectors = new EnumMap<>(Detector.class);
    Map<String, Integer> causes = new TreeMap<>();
    for (Detector detector : Detector.values()) {
      double tankNights = 0.0;
      int calls = 0;
      for (NightRecord night : nights) {
        if (detector == Detector.METER_ONLY && !night.fittings().flowMeter()) {
          continue;
        }
        Instant until = beforeOnset ? night.onset().orElseThrow() : night.end();
        tankNights +=
            Duration.between(night.start(), until).toMillis()
                / (1000.0 * DetectionLimit.NIGHT_SECONDS);
        Predicate<Call> isFalse =
            c -> beforeOnset ? c.at().isBefore(until) && !isLow(night, c) : !isJustified(night, c);
        if (detector == Detector.WATCH) {
          for (Told t : night.told()) {
            if (t.isHigh() && counts.test(t) && isFalse.test(t.call())) {
              calls++;
              causes.merge(t.cause().id(), 1, Integer::sum);
            }
          }
        } else {
          Stream<Call> ruleCalls = night.rules().getOrDefault(detector, List.of()).stream();
          calls += (int) ruleCalls.filter(isFalse).count();
        }
      }
      detectors.put(detector, new Count(tankNights, calls));
    }
    return new FalseAlarmRow(where, detectors, causes);
  }

  private static boolean isJustified(NightRecord night, Call call) {
    return isLow(night, call) || night.harmAt().filter(t -> !t.isBefore(call.at())).isPresent();
  }

  private static boolean isLow(NightRecord night, Call call) {
    return call.trueOxygenMgPerL() <= night.keepFloorMgPerL();
  }
}
