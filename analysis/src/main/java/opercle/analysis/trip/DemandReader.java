// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.Band;
import opercle.analysis.gas.Transfer;
import opercle.analysis.trip.MeasuredDemand.Stretch;
import opercle.analysis.trip.MeasuredDemand.Way;
import opercle.analysis.trip.TripEntry.StopCheck;
import opercle.analysis.watch.TankEvent;
import opercle.analysis.water.OxygenSaturation;
import opercle.analysis.water.WaterConditions;
import opercle.ingest.reading.Quantity;

/** Reads the demand of a load off its trace: see {@link MeasuredDemand}. */
final class DemandReader {

  private static final Duration AFTER_FAILURE_SETTLES = Duration.ofMinutes(2);
  private static final Duration SHORTEST = Duration.ofMinutes(5);
  private static final Duration LONGEST = Duration.ofMinutes(60);
  private static final Duration STEADY = Duration.ofMinutes(15);
  private static final double TIMES_THE_NOISE = 5.0;
  private static final double STEADY_MG_PER_L_PER_HOUR = 0.6;
  private static final double STEADY_FLOW_SHARE = 0.1;
  private static final int LEAST_READINGS = 10;

  /** Fish that are noted as put in so soon are those of the loading (ours). */
  private static final Duration LOADING = Duration.ofMinutes(15);

  /** Water comes and goes for so long round the time at which it is noted (ours). */
  private static final Duration WATER_RUNS = Duration.ofMinutes(15);

  /** A slope's eight-in-ten bounds lie 1.28 standard errors out (normal law). */
  private static final double EIGHT_IN_TEN = 1.2816;

  private final Trip trip;
  private final TripTrace trace;
  private final Samples oxygen;
  private final Optional<Samples> flow;
  private final List<Samples> thermometers;

  private final WhyNot whyNot;

  private DemandReader(Trip trip, TripTrace trace, Samples oxygen, WhyNot whyNot) {
    this.trip = trip;
    this.trace = trace;
    this.oxygen = oxygen;
    this.whyNot = whyNot;
    this.flow = Samples.of(trace, Quantity.GAS_FLOW).stream().findFirst();
    this.thermometers = Samples.of(trace, Quantity.TEMPERATURE);
  }

  /**
   * The demand of a trip's load.
   *
   * @param checks on the trip or at the tank meanwhile
   * @param oxygen the probe to go by
   * @param failures the moments at which oxygen began to fall, the clearest first
   * @param whyNot is told what kept it from being measured
   */
  static Optional<MeasuredDemand> read(
      Trip trip,
      TripTrace trace,
      List<StopCheck> checks,
      Samples oxygen,
      List<Failure> failures,
      WhyNot whyNot) {
    if (trip.tank().freshLPerHour() > 0.0) {
      whyNot.say(
          String.format(
              Locale.ROOT,
              "Fresh water ran through the tank, %.0f L/h by its set-up, and nobody measured what"
                  + " oxygen it brought.",
              trip.tank().freshLPerHour()));
      return Optional.empty();
    }
    DemandReader reader = new DemandReader(trip, trace, oxygen, whyNot);
    List<Stretch> stretches = new ArrayList<>();
    for (GasOff.Span off : new GasOff(trip, trace, checks, oxygen, whyNot).spans()) {
      reader.add(stretches, Way.GAS_OFF, off.from(), off.to());
    }
    if (stretches.isEmpty() && !failures.isEmpty() && failures.get(0).meterFell()) {
      stretches = reader.withLessGas(failures.get(0).at());
    }
    if (stretches.isEmpty()) {
      stretches =
          reader.steady(
              failures.stream().map(Failure::at).min(Comparator.naturalOrder()).orElse(trace.to()));
    }
    return stretches.isEmpty() ? Optional.empty() : Optional.of(together(stretches));
  }

  private static MeasuredDemand together(List<Stretch> stretches) {
    double all = stretches.stream().mapToDouble(s -> s.length().toMillis()).sum();
    Band band = Band.exactly(0.0);
    double temperature = 0.0;
    for (Stretch s : stretches) {
      double weight = s.length().toMillis() / all;
      band = band.plus(s.mgPerKgPerHour().times(weight));
      temperature += weight * s.temperatureC();
    }
    return new MeasuredDemand(band, temperature, stretches);
  }

  /**
   * From a fall on, with the gas that the meter still counts. Where the meter showed as much as
   * before or more, or there is none, nobody knows how much of the gas still reaches the water, and
   * a demand that leaves it out would come out too low: nothing is read then.
   */
  private List<Stretch> withLessGas(Instant failure) {
    Instant first = failure.plus(AFTER_FAILURE_SETTLES);
    int start = oxygen.firstAt(first);
    int lowest = start;
    for (int i = start; i < oxygen.size(); i++) {
      if (oxygen.value(i) < oxygen.value(lowest)) {
        lowest = i;
      }
    }
    List<Stretch> stretches = new ArrayList<>();
    if (lowest > start && countsAllOf(oxygen.time(start), oxygen.time(lowest))) {
      add(stretches, Way.AFTER_A_FAILURE, oxygen.time(start), oxygen.time(lowest));
    }
    return stretches;
  }

  /** Whether the gas meter spoke all the while. */
  private boolean countsAllOf(Instant from, Instant to) {
    if (flow.isEmpty()) {
      return false;
    }
    Samples meter = flow.get();
    int first = meter.firstAt(from);
    int end = meter.firstAt(to);
    return end > first
        && meter.isWithoutGap(first, end)
        && !meter.speaksUntil(end - 1).isBefore(to);
  }

  private List<Stretch> steady(Instant until) {
    List<Stretch> stretches = new ArrayList<>();
    for (Instant start = trace.from();
        !start.plus(STEADY).isAfter(until);
        start = start.plus(STEADY)) {
      if (hasSteadyFlow(start, start.plus(STEADY))) {
        add(stretches, Way.STEADY, start, start.plus(STEADY));
      }
    }
    return stretches;
  }

  private boolean hasSteadyFlow(Instant from, Instant to) {
    if (flow.isEmpty()) {
      return false;
    }
    Samples meter = flow.get();
    int first = meter.firstAt(from);
    int end = meter.firstAt(to);
    OptionalDouble mean = meter.mean(from, to);
    if (end - first < LEAST_READINGS || mean.isEmpty() || mean.getAsDouble() <= 0.0) {
      return false;
    }
    for (int i = first; i < end; i++) {
      if (Math.abs(meter.value(i) - mean.getAsDouble()) > STEADY_FLOW_SHARE * mean.getAsDouble()) {
        return false;
      }
    }
    return true;
  }

  /** Adds a stretch if it tells enough, cut to its longest. */
  private void add(List<Stretch> stretches, Way way, Instant from, Instant until) {
    Instant to = until.isAfter(from.plus(LONGEST)) ? from.plus(LONGEST) : until;
    int first = oxygen.firstAt(from);
    int end = firstBelowCritical(first, oxygen.firstAt(to.plusNanos(1)));
    if (end - first < LEAST_READINGS
        || Duration.between(oxygen.time(first), oxygen.time(end - 1)).compareTo(SHORTEST) < 0
        || !oxygen.isWithoutGap(first, end)) {
      return;
    }
    Instant last = oxygen.time(end - 1);
    if (isDisturbed(from, last)) {
      return;
    }
    double celsius = temperature(from, last);
    if (!(celsius >= 0.0 && celsius <= 40.0)) {
      return;
    }
    double[] hours = oxygen.seconds(first, end);
    for (int i = 0; i < hours.length; i++) {
      hours[i] /= 3600.0;
    }
    StraightLine line = StraightLine.through(hours, oxygen.values(first, end));
    double length = hours[hours.length - 1] - hours[0];
    if (way == Way.STEADY
        ? Math.abs(line.slope()) > STEADY_MG_PER_L_PER_HOUR
        : -line.slope() * length < TIMES_THE_NOISE * line.residual()) {
      return;
    }
    Band perLitre = demand(way, line, celsius, from, last);
    if (perLitre.likely() > 0.0) {
      Band perKg =
          new Band(Math.max(0.0, perLitre.low()), perLitre.likely(), perLitre.high())
              .times(trip.tank().waterLitres() / trip.loadKg());
      stretches.add(new Stretch(way, oxygen.time(first), last, perKg, celsius));
    }
  }

  /** Whether other fish or other water were in it than the trip says; then it is said why. */
  private boolean isDisturbed(Instant from, Instant to) {
    for (TankEvent event : trace.events()) {
      Instant at = event.time();
      switch (event.kind()) {
        case FISH_ADDED, FISH_REMOVED -> {
          boolean ofTheLoading =
              event.kind() == TankEvent.Kind.FISH_ADDED && !at.isAfter(trace.from().plus(LOADING));
          if (!at.isAfter(to) && !(ofTheLoading && at.isBefore(from))) {
            whyNot.say(
                at,
                "fish were put in or taken out, so nobody knows how many breathed from then on.");
            return true;
          }
        }
        case WATER_CHANGED -> {
          if (at.isAfter(from.minus(WATER_RUNS)) && at.isBefore(to.plus(WATER_RUNS))) {
            whyNot.say(at, "water was changed, which brought or took oxygen that nobody measured.");
            return true;
          }
        }
        default -> {}
      }
    }
    return false;
  }

  /** Below the critical floor fish breathe less than they would: what is read ends there. */
  private int firstBelowCritical(int first, int end) {
    for (int i = first; i < end; i++) {
      if (oxygen.value(i) < trip.limits().criticalMgPerL()) {
        return i;
      }
    }
    return end;
  }

  private double temperature(Instant from, Instant to) {
    return thermometers.stream()
        .map(t -> t.mean(from, to))
        .filter(OptionalDouble::isPresent)
        .mapToDouble(OptionalDouble::getAsDouble)
        .findFirst()
        .orElse(trip.plan().map(TripPlan::temperatureC).orElse(Double.NaN));
  }

  /** What the fish take from a litre, mg/L/h. */
  private Band demand(Way way, StraightLine line, double celsius, Instant from, Instant to) {
    TripTank tank = trip.tank();
    WaterConditions water =
        new WaterConditions(
            celsius, new SaltInWater(trip, trace).mean(from, to), tank.airPressureKPa());
    double oxygenThen = line.meanY();
    double fall = -line.slope() - tank.waterTakesMgPerLPerHour();
    double error = EIGHT_IN_TEN * line.slopeError();
    Band surface =
        scaled(
            tank.surface().perHour(celsius),
            new OxygenSaturation().underAirMgPerL(water) - oxygenThen);
    Band supply = Band.exactly(0.0);
    if (way != Way.GAS_OFF) {
      double litres = flow.flatMap(f -> asOptional(f.mean(from, to))).orElse(0.0);
      supply =
          Transfer.of(
                  tank.supply().gas(),
                  tank.supply().diffuser(),
                  tank.depthM(),
                  litres,
                  tank.waterLitres(),
                  water)
              .risePerHour(oxygenThen);
    }
    return new Band(fall - error, fall, fall + error).plus(surface).plus(supply);
  }

  private static Optional<Double> asOptional(OptionalDouble value) {
    return value.isPresent() ? Optional.of(value.getAsDouble()) : Optional.empty();
  }

  /** A band times a factor of either sign. */
  private static Band scaled(Band band, double factor) {
    return factor >= 0.0
        ? band.times(factor)
        : new Band(band.high() * factor, band.likely() * factor, band.low() * factor);
  }
}
