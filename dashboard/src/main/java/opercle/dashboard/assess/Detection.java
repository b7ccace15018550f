// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import opercle.dashboard.assess.NightRecord.Call;
import opercle.dashboard.assess.NightRecord.Told;

/**
 * What one detector made of one harmful night. A call counts from the onset until the critical
 * floor or the end of the night; one that was made before the onset and still stands does not: it
 * was about something else.
 *
 * @param outcome how it went
 * @param delaySeconds from the true onset to the first call; infinite where none came in time
 * @param shareLeft of the time from onset to floor, what was still left at the call, 0–1; 0 where
 *     none came in time
 */
record Detection(Outcome outcome, double delaySeconds, double shareLeft) {

  /** How it went. */
  enum Outcome {
    /** Called in time. */
    NOTICED,
    /** The floor was reached without a call. */
    MISSED,
    /** The night ended without a call, before the floor. */
    OPEN
  }

  /** By a detector, where the night has what it looks at. */
  static Optional<Detection> by(Detector detector, NightRecord night) {
    if (detector == Detector.METER_ONLY && !night.fittings().flowMeter()) {
      return Optional.empty();
    }
    return Optional.of(of(night, calls(detector, night).map(Call::at)));
  }

  /** By the watch, were alarms of every priority counted and not those of high priority alone. */
  static Detection byAnyPriority(NightRecord night) {
    return of(
        night,
        night.told().stream()
            .filter(t -> Signature.SUPPLY_OR_OXYGEN.contains(t.cause()))
            .map(t -> t.call().at()));
  }

  /** The call of the watch that noticed, if one did. */
  static Optional<Told> noticing(NightRecord night) {
    return night.told().stream()
        .filter(t -> t.isHigh() && Signature.SUPPLY_OR_OXYGEN.contains(t.cause()))
        .filter(t -> inTime(night, t.call().at()))
        .findFirst();
  }

  /** Whether, in time, some alarm of any priority bore the right name. */
  static boolean isNamed(NightRecord night) {
    return night.told().stream()
        .anyMatch(
            t ->
                inTime(night, t.call().at())
                    && Signature.causes(night.kind(), night.fittings()).contains(t.cause()));
  }

  static boolean inTime(NightRecord night, Instant at) {
    return !at.isBefore(night.onset().orElse(night.start()))
        && (at.isBefore(night.deadline())
            || (!night.harmedBeforeTheEnd() && at.equals(night.deadline())));
  }

  private static Stream<Call> calls(Detector detector, NightRecord night) {
    return detector == Detector.WATCH
        ? night.told().stream()
            .filter(t -> t.isHigh() && Signature.SUPPLY_OR_OXYGEN.contains(t.cause()))
            .map(Told::call)
        : night.rules().getOrDefault(detector, List.of()).stream();
  }

  private static Detection of(NightRecord night, Stream<Instant> calls) {
    Instant onset = night.onset().orElseThrow();
    Optional<Instant> first = calls.filter(at -> inTime(night, at)).findFirst();
    if (first.isEmpty()) {
      return new Detection(
          night.harmedBeforeTheEnd() ? Outcome.MISSED : Outcome.OPEN,
          Double.POSITIVE_INFINITY,
          0.0);
    }
    double inHand = Duration.between(onset, night.harmAt().orElseThrow()).toMillis();
    double left = Duration.between(first.get(), night.harmAt().orElseThrow()).toMillis();
    return new Detection(
        Outcome.NOTICED,
        Duration.between(onset, first.get()).toMillis() / 1000.0,
        inHand > 0.0 ? left / inHand : 0.0);
  }
}
