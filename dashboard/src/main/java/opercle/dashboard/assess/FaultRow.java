// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import opercle.dashboard.assess.Detection.Outcome;

/**
 * How faults of one kind were noticed, or of all kinds together. Only harmful nights are judged: a
 * light load may live on what the surface brings.
 *
 * @param kind its id, or {@code all}
 * @param nights played
 * @param harmful of these, those in which the critical floor was reached
 * @param named harmful nights in which an alarm in time bore the right name
 * @param detectors how each detector did
 * @param anyPriority the watch, were its alarms of every priority counted
 * @param limitSeconds median over the nights of the least mean delay possible on oxygen alone, for
 *     each night's own fall, noise, lag and sampling; empty where the fall comes on later than the
 *     event
 */
record FaultRow(
    String kind,
    int nights,
    int harmful,
    int named,
    Map<Detector, Summary> detectors,
    Summary anyPriority,
    OptionalDouble limitSeconds) {

  /**
   * How one detector did.
   *
   * @param judged harmful nights that have what it looks at
   * @param noticed with a call in time
   * @param missed the floor was reached without a call
   * @param open the night ended first
   * @param medianDelaySeconds over all judged nights, those without a call being later than any;
   *     empty where that is the median
   * @param p95DelaySeconds the same for 95 of 100
   * @param medianShareLeft median share of the time in hand left at the call, 0 where none came
   */
  record Summary(
      int judged,
      int noticed,
      int missed,
      int open,
      OptionalDouble medianDelaySeconds,
      OptionalDouble p95DelaySeconds,
      OptionalDouble medianShareLeft) {

    static Summary of(List<Detection> detections) {
      return new Summary(
          detections.size(),
          count(detections, Outcome.NOTICED),
          count(detections, Outcome.MISSED),
          count(detections, Outcome.OPEN),
          Quantiles.median(detections.stream().mapToDouble(Detection::delaySeconds)),
          Quantiles.of(detections.stream().mapToDouble(Detection::delaySeconds), 0.95),
          Quantiles.median(detections.stream().mapToDouble(Detection::shareLeft)));
    }

    private static int count(List<Detection> detections, Outcome outcome) {
      return (int) detections.stream().filter(d -> d.outcome() == outcome).count();
    }
  }

  static FaultRow of(String kind, List<NightRecord> nights) {
    List<NightRecord> harmful = nights.stream().filter(NightRecord::isHarmful).toList();
    Map<Detector, Summary> detectors = new EnumMap<>(Detector.class);
    for (Detector detector : Detector.values()) {
      detectors.put(
          detector,
          Summary.of(harmful.stream().flatMap(n -> Detection.by(detector, n).stream()).toList()));
    }
    return new FaultRow(
        kind,
        nights.size(),
        harmful.size(),
        (int) harmful.stream().filter(Detection::isNamed).count(),
        detectors,
        Summary.of(harmful.stream().map(Detection::byAnyPriority).toList()),
        Quantiles.median(
            harmful.stream().map(FaultRow::limitSeconds).flatMapToDouble(OptionalDouble::stream)));
  }

  /** Two probes are averaged. The lag is that at 20 °C: in colder water the limit is later. */
  private static OptionalDouble limitSeconds(NightRecord night) {
    OptionalDouble fall = night.steepestMgPerLPerMin();
    int probes = night.fittings().oxygenProbes();
    if (fall.isEmpty() || probes == 0 || !Signature.fallsFromTheOnset(night.kind())) {
      return OptionalDouble.empty();
    }
    return OptionalDouble.of(
        new DetectionLimit(
                night.fittings().oxygenNoiseMgPerL() / Math.sqrt(probes),
                night.fittings().oxygenT90Seconds(),
                night.fittings().oxygenSeconds())
            .meanDelaySeconds(fall.getAsDouble()));
  }
}
