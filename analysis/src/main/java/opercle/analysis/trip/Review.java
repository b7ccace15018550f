// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Stream;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.plan.MeasuredRate;
import opercle.ingest.reading.Quantity;

/**
 * A trip, or a night, looked at afterwards: what happened, what it shows of the fish, and what to
 * do otherwise. Worked out from the trace and the log alone; the same input gives the same review.
 *
 * @param log what was written of it
 * @param from when it began
 * @param to when it ended, or until when it was looked at
 * @param checks what people saw and measured by hand, on the trip or at the tank meanwhile, in
 *     order of time
 * @param oxygen what oxygen did; empty where no probe spoke
 * @param gas gas used and left
 * @param demand what the load breathed; empty where no stretch told
 * @param unmeasured why the demand could not be read with the gas off, a sentence each; empty where
 *     it was, or where nothing speaks for any such stretch
 * @param earlier the farm's own rate by earlier trips of the same species and temperature
 * @param failures the moments at which oxygen began to fall, the clearest first; mostly none
 * @param meters the probe against the hand meter
 * @param watch the alarms that stood or were raised, and who took them, in order
 * @param lessons what to do otherwise next time, the gravest first
 */
public record Review(
    TripLog log,
    Instant from,
    Instant to,
    List<TripEntry.StopCheck> checks,
    Optional<OxygenFigures> oxygen,
    GasFigures gas,
    Optional<MeasuredDemand> demand,
    List<String> unmeasured,
    Optional<MeasuredRate> earlier,
    List<Failure> failures,
    List<MeterCheck> meters,
    List<WatchSaw> watch,
    List<Lesson> lessons) {

  private static final Duration METER_REACH = Duration.ofMinutes(2);
  private static final Duration BEFORE_FAILURE = Duration.ofMinutes(5);

  /** A meter that stops later than this has not to do with it. */
  private static final Duration AFTER_FAILURE = Duration.ofMinutes(10);

  private static final double OFF_SHARE = 0.05;

  public Review {
    checks = List.copyOf(checks);
    unmeasured = List.copyOf(unmeasured);
    failures = List.copyOf(failures);
    meters = List.copyOf(meters);
    watch = List.copyOf(watch);
    lessons = List.copyOf(lessons);
  }

  /**
   * Reviews a trip.
   *
   * @param log what was written of it
   * @param trace what was measured, from its loading to its end
   * @param past what earlier trips taught
   */
  public static Review of(TripLog log, TripTrace trace, List<PastDemand> past) {
    return of(log, trace, past, ZoneOffset.UTC);
  }

  /** The same, its lessons with clock times of a zone. */
  public static Review of(TripLog log, TripTrace trace, List<PastDemand> past, ZoneId zone) {
    Trip trip = log.trip();
    Optional<OxygenFigures> oxygen = OxygenFigures.of(trip, trace);
    Optional<Samples> main =
        oxygen.flatMap(
            figures ->
                OxygenFigures.probes(trip, trace).stream()
                    .filter(s -> s.probe().equals(figures.probe()))
                    .findFirst());
    List<WatchSaw> watch = WatchSaw.of(trace.alarms(), trace.from());
    List<Failure> failures = main.map(s -> failures(trip, trace, s, watch)).orElse(List.of());
    List<TripEntry.StopCheck> checks =
        Stream.concat(log.checks().stream(), trace.checks().stream())
            .sorted(Comparator.comparing(TripEntry.StopCheck::time))
            .toList();
    WhyNot whyNot = new WhyNot(zone);
    Optional<MeasuredDemand> demand =
        main.flatMap(s -> DemandReader.read(trip, trace, checks, s, failures, whyNot));
    boolean isSure = demand.filter(MeasuredDemand::isSure).isPresent();
    Review plain =
        new Review(
            log,
            trace.from(),
            trace.to(),
            checks,
            oxygen,
            GasFigures.of(log, trace),
            demand,
            isSure ? List.of() : whyNot.sentences(),
            demand.flatMap(d -> earlier(trip, trace, d, past)),
            failures,
            meters(checks, trace, main),
            watch,
            List.of());
    return plain.with(Lessons.of(plain, zone));
  }

  private Review with(List<Lesson> found) {
    return new Review(
        log,
        from,
        to,
        checks,
        oxygen,
        gas,
        demand,
        unmeasured,
        earlier,
        failures,
        meters,
        watch,
        found);
  }

  /** The clearest moment at which oxygen began to fall; empty where it never did. */
  public Optional<Failure> failure() {
    return failures.stream().findFirst();
  }

  /** How long it took. */
  public Duration length() {
    return Duration.between(from, to);
  }

  private static Optional<MeasuredRate> earlier(
      Trip trip, TripTrace trace, MeasuredDemand demand, List<PastDemand> past) {
    List<PastDemand> before =
        past.stream()
            .filter(p -> !p.trip().equals(trip.id()) && p.at().isBefore(trace.from()))
            .toList();
    return trip.load().stream().map(l -> l.species()).distinct().count() == 1
        ? LearnedRate.of(
            before,
            trip.load().get(0).species(),
            trip.load().get(0).meanMassKg(),
            demand.temperatureC())
        : Optional.empty();
  }

  private static List<Failure> failures(
      Trip trip, TripTrace trace, Samples oxygen, List<WatchSaw> watch) {
    List<ChangePoint> bends =
        ChangePoint.all(oxygen.seconds(0, oxygen.size()), oxygen.values(0, oxygen.size()));
    return bends.stream()
        .map(
            bend -> {
              Instant at = trace.from().plusSeconds(Math.round(bend.seconds()));
              Instant earliest = at.minus(BEFORE_FAILURE);
              return new Failure(
                  at,
                  Duration.ofSeconds((long) Math.ceil(bend.toleranceSeconds())),
                  bend.slopeBeforeMgPerLPerHour(),
                  bend.slopeAfterMgPerLPerHour(),
                  meterStopped(trip, trace, earliest, at.plus(AFTER_FAILURE)),
                  meter(trace, at.minusSeconds(600), at),
                  meter(trace, at.plusSeconds(60), at.plusSeconds(360)),
                  watch.stream()
                      .filter(w -> w.isTold() && isOfOxygen(w.cause()))
                      .filter(w -> !w.at().isBefore(earliest))
                      .map(WatchSaw::at)
                      .findFirst());
            })
        .toList();
  }

  private static boolean isOfOxygen(AlarmCause cause) {
    return switch (cause) {
      case GAS_LINE_STOPPED, GAS_NOT_REACHING_WATER, OXYGEN_FALLING, OXYGEN_LOW -> true;
      default -> false;
    };
  }

  /** When the meter stopped about then; at the end of a trip the driver shuts the gas. */
  private static Optional<Instant> meterStopped(
      Trip trip, TripTrace trace, Instant earliest, Instant latest) {
    double set = trip.tank().supply().flowLPerMin();
    for (Samples meter : Samples.of(trace, Quantity.GAS_FLOW)) {
      for (int i = meter.firstAt(earliest); i < meter.size(); i++) {
        if (meter.time(i).isAfter(latest)) {
          break;
        }
        if (meter.value(i) <= OFF_SHARE * set) {
          return Optional.of(meter.time(i));
        }
      }
    }
    return Optional.empty();
  }

  private static OptionalDouble meter(TripTrace trace, Instant from, Instant to) {
    List<Samples> meters = Samples.of(trace, Quantity.GAS_FLOW);
    return meters.isEmpty() ? OptionalDouble.empty() : meters.get(0).mean(from, to);
  }

  private static List<MeterCheck> meters(
      List<TripEntry.StopCheck> made, TripTrace trace, Optional<Samples> oxygen) {
    List<MeterCheck> checks = new ArrayList<>();
    List<Samples> thermometers = Samples.of(trace, Quantity.TEMPERATURE);
    for (TripEntry.StopCheck check : made) {
      if (check.oxygenMgPerL().isPresent() && oxygen.isPresent()) {
        add(checks, check, "oxygen", check.oxygenMgPerL(), oxygen.get(), "mg/L");
      }
      if (check.temperatureC().isPresent() && !thermometers.isEmpty()) {
        add(checks, check, "temperature", check.temperatureC(), thermometers.get(0), "°C");
      }
    }
    return checks;
  }

  private static void add(
      List<MeterCheck> checks,
      TripEntry.StopCheck check,
      String quantity,
      OptionalDouble hand,
      Samples probe,
      String unit) {
    OptionalDouble said = probe.near(check.time(), METER_REACH);
    if (said.isPresent()) {
      checks.add(
          new MeterCheck(check.time(), quantity, hand.orElseThrow(), said.getAsDouble(), unit));
    }
  }
}
