// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.function.Supplier;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.TripRecords;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.analysis.plan.LoadPlan;
import opercle.analysis.plan.LoadPlanRequest;
import opercle.analysis.stock.Fish;
import opercle.analysis.stock.Species;
import opercle.analysis.trip.Trip;
import opercle.analysis.trip.TripEntry.Loaded;
import opercle.analysis.trip.TripEntry.Loss;
import opercle.analysis.trip.TripEntry.StopCheck;
import opercle.analysis.trip.TripEntry.Unloaded;
import opercle.analysis.trip.TripLimits;
import opercle.analysis.trip.TripLog;
import opercle.analysis.trip.TripPlan;
import opercle.analysis.trip.TripTank;
import opercle.analysis.tripfile.TripFile;
import opercle.analysis.watch.FarmWatch;
import opercle.analysis.watch.TankEvent;
import opercle.ingest.reading.Reading;
import opercle.simulator.Happening;
import opercle.simulator.Sallowmere;
import opercle.simulator.Scenario;
import opercle.simulator.SimulatedFarm;
import opercle.simulator.Where;

/** Trips of Sallowmere in a real farm book: one three days ago whose line split, one under way. */
public final class KeptTrips {

  static final Instant THEN = FakeFarm.NIGHT.minus(Duration.ofDays(3)).minusSeconds(7);
  static final Duration SPLIT_AFTER = Duration.ofMinutes(47);
  static final Duration LENGTH = Duration.ofMinutes(75);

  private KeptTrips() {}

  /** The farm on whose trailer the line split, as its description says. */
  public static Farm farm() {
    return Sallowmere.farmAt(THEN);
  }

  /** Trips from a book that has none. */
  static Supplier<Optional<TripRecords>> in(FarmBook book) {
    TripRecords trips = new TripRecords(book, "Sallowmere");
    trips.take(splitLine("seen"));
    trips.begin(underWay("under-way"));
    return () -> Optional.of(trips);
  }

  static Loaded underWay(String id) {
    Tank tank = FakeFarm.quiet().farm().tank("t1").orElseThrow();
    Instant time = FakeFarm.NIGHT.minus(Duration.ofMinutes(40));
    return new Loaded(
        id + "-in",
        time,
        "Maren",
        Optional.empty(),
        trip(id, tank, tank.loads(), Optional.empty()));
  }

  private static Trip trip(String id, Tank tank, List<Tank.Load> load, Optional<TripPlan> plan) {
    return new Trip(
        id,
        Trip.Kind.ROAD,
        TripTank.of(tank, 40.0),
        Optional.of("Trailer"),
        "Holding 2",
        "Long Pool",
        load,
        OptionalDouble.of(60.0),
        TripLimits.of(tank),
        OptionalDouble.of(180.0),
        plan,
        Optional.of("2026-014"));
  }

  /** A whole trip with a split line, checks, a correction, alarms and losses. */
  static TripFile splitLine(String id) {
    Farm farm = farm();
    SimulatedFarm simulated =
        new SimulatedFarm(
            farm,
            new Scenario(
                "a trip",
                "A trip.",
                List.of(
                    Happening.at(
                        SPLIT_AFTER,
                        Happening.Kind.LINE_SPLITS_AFTER_METER,
                        new Where.OneTank("t1", Tank.Kind.TRANSPORT),
                        1.0))),
            1,
            THEN);
    FarmWatch watch = new FarmWatch(farm);
    List<AlarmEvent> alarms = new ArrayList<>();
    List<Reading> readings = new ArrayList<>();
    for (Instant t = THEN; t.isBefore(THEN.plus(LENGTH)); t = t.plusSeconds(1)) {
      for (Reading reading : simulated.advance(t.plusSeconds(1))) {
        alarms.addAll(watch.accept(reading));
        readings.add(reading);
      }
      alarms.addAll(watch.tick(t.plusSeconds(1)));
    }
    Tank tank = farm.tank("t1").orElseThrow();
    LoadPlan plan = LoadPlan.of(LoadPlanRequest.of(tank).temperatureC(10.5).minutes(60.0).build());
    Trip trip = trip(id, tank, tank.loads(), Optional.of(TripPlan.of(plan)));
    TripLog log =
        TripLog.of(new Loaded(id + "-in", THEN, "Maren", Optional.empty(), trip))
            .with(check("c1", 20, Fish.GASPING, 11.9, Optional.empty(), ""))
            .with(check("c2", 20, Fish.LOW_AND_QUIET, 11.9, Optional.of("c1"), "Touched wrongly."))
            .with(
                check(
                    "c3",
                    60,
                    Fish.RESTLESS,
                    7.5,
                    Optional.empty(),
                    "Hose off behind the meter; bubbles in one corner only."))
            .with(
                new Unloaded(
                    id + "-out",
                    THEN.plus(LENGTH),
                    "Maren",
                    Optional.empty(),
                    List.of(
                        new Loss(Species.COMMON_CARP, OptionalInt.of(2), OptionalDouble.of(4.4))),
                    OptionalDouble.of(120.0),
                    "New hose clip fitted <at once>. Gesa Łukasz helped."));
    return new TripFile(
        "Sallowmere",
        log,
        readings.stream().filter(r -> r.tank().equals("t1")).toList(),
        alarms.stream().filter(a -> a.tank().equals("t1")).toList(),
        List.of(
            new TankEvent(
                "t1",
                TankEvent.Kind.GAS_CHANGED,
                THEN.plus(Duration.ofMinutes(35)),
                Optional.of("Tove"))));
  }

  private static StopCheck check(
      String id, long minutes, Fish fish, double oxygen, Optional<String> corrects, String note) {
    return new StopCheck(
        id,
        THEN.plus(Duration.ofMinutes(minutes)),
        "Tove",
        corrects,
        fish,
        OptionalDouble.of(oxygen),
        OptionalDouble.of(10.4),
        OptionalDouble.of(2.5),
        note);
  }
}
