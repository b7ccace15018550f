// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.water.OxygenSaturation;
import opercle.analysis.water.WaterConditions;
import opercle.ingest.reading.Quantity;

/**
 * What the oxygen did on a trip, by the probe that saw the worst of it (longest below the keep
 * floor, then lowest).
 *
 * <p>A reading speaks until the next one, if that comes within three usual intervals (at least 30
 * s); else for one usual interval, and the rest is unknown and listed. Below is under a floor, not
 * on it; above is over the limit, not on it.
 *
 * @param probe which probe
 * @param readings how many it gave
 * @param lowestMgPerL its lowest reading, as it was
 * @param lowestAt when that was first
 * @param belowKeep time below the keep floor
 * @param belowCritical time below the critical floor
 * @param known time of which something is known
 * @param gaps stretches of which nothing is known
 * @param highestPercent its highest reading, percent of air saturation; empty without a temperature
 * @param highestAt when
 * @param aboveUpper time above the upper limit
 */
public record OxygenFigures(
    String probe,
    int readings,
    double lowestMgPerL,
    Instant lowestAt,
    Duration belowKeep,
    Duration belowCritical,
    Duration known,
    List<Gap> gaps,
    OptionalDouble highestPercent,
    Optional<Instant> highestAt,
    Duration aboveUpper) {

  private static final Duration TEMPERATURE_REACH = Duration.ofMinutes(10);

  public OxygenFigures {
    gaps = List.copyOf(gaps);
  }

  /**
   * A stretch of which nothing is known.
   *
   * @param from when it begins
   * @param to when it ends
   */
  public record Gap(Instant from, Instant to) {

    /** How long. */
    public Duration length() {
      return Duration.between(from, to);
    }
  }

  /** How long in all nothing is known. */
  public Duration unknown() {
    return gaps.stream().map(Gap::length).reduce(Duration.ZERO, Duration::plus);
  }

  /** The figures of a trace; empty where no probe spoke of oxygen. */
  static Optional<OxygenFigures> of(Trip trip, TripTrace trace) {
    return probes(trip, trace).stream()
        .map(s -> of(s, trip, trace))
        .max(
            Comparator.comparing(OxygenFigures::belowKeep)
                .thenComparing(f -> -f.lowestMgPerL())
                .thenComparing(Comparator.comparing(OxygenFigures::probe).reversed()));
  }

  /**
   * Oxygen by probe, mg/L. Probes that tell percent only are converted where a temperature is near;
   * the rest is a gap.
   */
  static List<Samples> probes(Trip trip, TripTrace trace) {
    List<Samples> probes = Samples.of(trace, Quantity.OXYGEN);
    if (!probes.isEmpty()) {
      return probes;
    }
    List<Samples> converted = new ArrayList<>();
    for (Samples percent : Samples.of(trace, Quantity.OXYGEN_SATURATION)) {
      double[] saturation = saturationMgPerL(percent, trip, trace);
      double[] mgPerL = new double[saturation.length];
      for (int i = 0; i < mgPerL.length; i++) {
        mgPerL[i] = percent.value(i) / 100.0 * saturation[i];
      }
      percent.mappedWhereKnown(mgPerL).ifPresent(converted::add);
    }
    return converted;
  }

  private static OxygenFigures of(Samples s, Trip trip, TripTrace trace) {
    int lowest = 0;
    for (int i = 1; i < s.size(); i++) {
      if (s.value(i) < s.value(lowest)) {
        lowest = i;
      }
    }
    double[] saturation = saturationMgPerL(s, trip, trace);
    int highest = -1;
    double[] percent = new double[s.size()];
    for (int i = 0; i < percent.length; i++) {
      percent[i] = 100.0 * s.value(i) / saturation[i];
      if (Double.isFinite(percent[i]) && (highest < 0 || percent[i] > percent[highest])) {
        highest = i;
      }
    }
    List<Gap> gaps = s.unknown().stream().map(u -> new Gap(u.from(), u.to())).toList();
    double upper = trip.limits().upperPercent();
    return new OxygenFigures(
        s.probe(),
        s.size(),
        s.value(lowest),
        s.time(lowest),
        s.where(v -> v < trip.limits().keepMgPerL()),
        s.where(v -> v < trip.limits().criticalMgPerL()),
        s.where(v -> true),
        gaps,
        highest < 0 ? OptionalDouble.empty() : OptionalDouble.of(percent[highest]),
        highest < 0 ? Optional.empty() : Optional.of(s.time(highest)),
        s.mapped(percent).where(v -> v > upper));
  }

  /** Air saturation at each reading, mg/L; not a number where no temperature is near. */
  static double[] saturationMgPerL(Samples s, Trip trip, TripTrace trace) {
    List<Samples> thermometers = Samples.of(trace, Quantity.TEMPERATURE);
    double[] saturation = new double[s.size()];
    OxygenSaturation curve = new OxygenSaturation();
    SaltInWater salt = new SaltInWater(trip, trace);
    for (int i = 0; i < saturation.length; i++) {
      saturation[i] = Double.NaN;
      for (Samples thermometer : thermometers) {
        OptionalDouble celsius = thermometer.near(s.time(i), TEMPERATURE_REACH);
        if (celsius.isPresent() && celsius.getAsDouble() >= 0.0 && celsius.getAsDouble() <= 40.0) {
          saturation[i] =
              curve.underAirMgPerL(
                  new WaterConditions(
                      celsius.getAsDouble(), salt.at(s.time(i)), trip.tank().airPressureKPa()));
          break;
        }
      }
    }
    return saturation;
  }
}
