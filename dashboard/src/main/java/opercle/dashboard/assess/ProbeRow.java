// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.alarm.AlarmCause;
import opercle.dashboard.assess.NightRecord.Told;

/**
 * How a probe's trouble was told, the tank being well.
 *
 * @param kind its id
 * @param nights played
 * @param told nights with an alarm about a probe after the onset, of any priority
 * @param named nights in which it bore the right name
 * @param medianDelaySeconds over all nights, those without being later than any
 */
record ProbeRow(String kind, int nights, int told, int named, OptionalDouble medianDelaySeconds) {

  static ProbeRow of(String kind, List<NightRecord> nights) {
    List<Double> delays = nights.stream().map(ProbeRow::delaySeconds).toList();
    return new ProbeRow(
        kind,
        nights.size(),
        (int) delays.stream().filter(Double::isFinite).count(),
        (int) nights.stream().filter(Detection::isNamed).count(),
        Quantiles.median(delays.stream().mapToDouble(d -> d)));
  }

  private static double delaySeconds(NightRecord night) {
    Instant onset = night.onset().orElseThrow();
    Optional<Instant> first =
        night.told().stream()
            .filter(t -> isAboutAProbe(t.cause()) && !t.call().at().isBefore(onset))
            .map((Told t) -> t.call().at())
            .findFirst();
    return first
        .map(at -> Duration.between(onset, at).toMillis() / 1000.0)
        .orElse(Double.POSITIVE_INFINITY);
  }

  private static boolean isAboutAProbe(AlarmCause cause) {
    return Signature.PROBE.contains(cause);
  }
}
