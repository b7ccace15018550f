// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.Supplier;
import java.util.stream.Collectors;
import opercle.analysis.book.FarmRecords;
import opercle.analysis.book.FarmVersion;
import opercle.analysis.book.RecordBook;
import opercle.analysis.farm.Tank;
import opercle.analysis.farm.TankThen;
import opercle.analysis.holding.HoldingEstimate;
import opercle.analysis.holding.TankWork;
import opercle.analysis.plan.LoadPlan;
import opercle.analysis.plan.LoadPlanRequest;
import opercle.analysis.plan.MeasuredRate;
import opercle.analysis.stock.Species;
import opercle.analysis.trip.LearnedRate;
import opercle.analysis.trip.PastDemand;
import opercle.analysis.trip.Trip;
import opercle.analysis.trip.TripEntry.Loaded;
import opercle.analysis.trip.TripPlan;
import opercle.analysis.trip.TripTank;
import opercle.analysis.tripfile.StartForm;
import opercle.analysis.watch.TankState;

/**
 * How a trip or a night begins, by what is known of its tank: with the fish that were in it then,
 * the salt in its water, and a plan where one can be worked out. Reads the disk; for any thread.
 */
final class TripStart {

  private final LiveFarm live;
  private final ZoneId zone;
  private final Supplier<Optional<RecordBook>> work;
  private final Supplier<Optional<FarmRecords>> versions;

  /**
   * @param work what was written down at the tanks
   * @param versions how the farm stood when; empty: as today
   */
  TripStart(
      LiveFarm live,
      ZoneId zone,
      Supplier<Optional<RecordBook>> work,
      Supplier<Optional<FarmRecords>> versions) {
    this.live = live;
    this.zone = zone;
    this.work = work;
    this.versions = versions;
  }

  /**
   * The tank with the fish that were in it over a night.
   *
   * @throws Problem where nobody knows, or where they became others meanwhile
   */
  Tank over(Tank today, Instant from, Instant to) {
    List<TankThen.Version> there =
        versions.get().map(v -> v.inForce(from, to)).orElse(List.of()).stream()
            .map(TripStart::version)
            .toList();
    if (there.isEmpty()) {
      return today;
    }
    TankThen then = TankThen.of(there, today.id(), from, to);
    Tank tank =
        then.tank()
            .orElseThrow(
                () ->
                    Problem.ask(
                        "/load",
                        "Which fish were in %s on %s nobody knows: the farm book tells of it from %s on, and it was not said since when they are there. Say that they were those of today, or choose another time."
                            .formatted(
                                today.name(), clock(from), clock(then.known().orElse(from)))));
    if (!tank.isStocked()) {
      throw Problem.conflict(
          "%s is written down as empty on %s: choose a time with fish in it."
              .formatted(tank.name(), clock(from)));
    }
    then.changed()
        .ifPresent(
            at -> {
              throw Problem.conflict(
                  "The fish in %s became others on %s: before, %s; from then on, %s. What they breathed goes by their weight, so look at the time before that, or after it."
                      .formatted(
                          tank.name(),
                          clock(at),
                          words(tank),
                          then.next().map(TripStart::words).orElse("the tank was gone")));
            });
    return tank;
  }

  private static TankThen.Version version(FarmVersion version) {
    return new TankThen.Version(version.time(), version.farm());
  }

  private static String words(Tank tank) {
    String fish =
        tank.loads().stream()
            .filter(l -> l.kg() > 0.0)
            .map(l -> String.format(Locale.ROOT, "%.1f kg of %s", l.kg(), l.species().commonName()))
            .collect(Collectors.joining(", "));
    return fish.isEmpty() ? "none" : fish;
  }

  private String clock(Instant time) {
    return DateTimeFormatter.ofPattern("d MMM uuuu, HH:mm", Locale.ENGLISH)
        .withZone(zone)
        .format(time);
  }

  /**
   * The loading as it is to be written.
   *
   * @param asked the plan that the keeper made, to start from; without one it is worked out by the
   *     tank's set-up where that can be
   * @param demands what the farm's trips taught
   */
  Loaded loaded(
      StartForm start, Optional<LoadPlanRequest> asked, Supplier<List<PastDemand>> demands) {
    Loaded loaded = start.loaded();
    Trip trip = loaded.trip();
    TripTank tank = trip.tank().withSalt(salt(trip.tank().id(), loaded.time()));
    Optional<TripPlan> plan =
        asked.isPresent()
            ? asked.map(TripStart::plan)
            : planOf(trip.withTank(tank), start.temperatureC(), demands);
    return new Loaded(
        loaded.id(),
        loaded.time(),
        loaded.by(),
        loaded.corrects(),
        trip.withTank(tank).withPlan(plan));
  }

  /**
   * By what was written down at the tank until then, g/kg; a probe tells by itself in the trace.
   */
  private double salt(String id, Instant time) {
    double salt =
        work.get()
            .map(RecordBook::records)
            .flatMap(
                records ->
                    live.farm()
                        .tank(id)
                        .map(
                            tank ->
                                HoldingEstimate.saltGPerKg(
                                    tank,
                                    TankWork.of(records, id),
                                    HoldingEstimate.Seen.NOTHING,
                                    time)))
            .map(value -> value.band().likely())
            .orElse(0.0);
    return Math.max(TripTank.SALT.low(), Math.min(TripTank.SALT.high(), salt));
  }

  /** With the water as it was said, else as the tank's probe says now. */
  private Optional<TripPlan> planOf(
      Trip trip, OptionalDouble said, Supplier<List<PastDemand>> demands) {
    OptionalDouble celsius = said.isPresent() ? said : seenC(trip.tank().id());
    if (celsius.isEmpty() || trip.expectedMinutes().isEmpty()) {
      return trip.plan();
    }
    try {
      LoadPlanRequest request = request(trip, celsius.getAsDouble(), demands.get());
      return Optional.of(TripPlan.of(LoadPlan.of(request)));
    } catch (IllegalArgumentException e) {
      if (said.isPresent()) {
        throw unplannable(e);
      }
      return trip.plan(); // nobody asked for one, and the fish are in
    }
  }

  private OptionalDouble seenC(String tank) {
    return live.states().stream()
        .filter(s -> s.tank().equals(tank))
        .map(TankState::temperatureC)
        .findFirst()
        .orElse(OptionalDouble.empty());
  }

  /** With the tank's own flow and cylinder; its gauge as it was read, else as if it were full. */
  private LoadPlanRequest request(Trip trip, double celsius, List<PastDemand> demands) {
    TripTank tank = trip.tank();
    Tank.Supply supply = tank.supply();
    LoadPlanRequest.Builder asked =
        LoadPlanRequest.of(trip.fishLoad(), tank.waterLitres())
            .temperatureC(celsius)
            .minutes(trip.expectedMinutes().orElseThrow())
            .supply(supply.gas(), supply.diffuser())
            .flowLPerMin(supply.flowLPerMin())
            .depthM(tank.depthM())
            .pressureKPa(tank.airPressureKPa())
            .saltGPerKg(tank.saltGPerKg());
    supply
        .cylinder()
        .ifPresent(
            c ->
                asked.cylinders(
                    LoadPlanRequest.Cylinders.one(
                        c.waterLitres(), trip.cylinderBar().orElse(c.fullBar()))));
    live.farm()
        .tank(tank.id())
        .flatMap(t -> t.responseMinutes().stream().boxed().findFirst())
        .ifPresent(asked::responseMinutes);
    learned(trip, celsius, demands).ifPresent(asked::measuredRate);
    return asked.build();
  }

  private static TripPlan plan(LoadPlanRequest asked) {
    try {
      return TripPlan.of(LoadPlan.of(asked));
    } catch (IllegalArgumentException e) {
      throw unplannable(e);
    }
  }

  private static Problem unplannable(IllegalArgumentException e) {
    return Problem.badRequest("No plan can be worked out: " + e.getMessage());
  }

  private static Optional<MeasuredRate> learned(
      Trip trip, double celsius, List<PastDemand> demands) {
    List<Species> kinds = trip.load().stream().map(l -> l.species()).distinct().toList();
    return kinds.size() == 1
        ? LearnedRate.of(demands, kinds.get(0), trip.load().get(0).meanMassKg(), celsius)
        : Optional.empty();
  }
}
