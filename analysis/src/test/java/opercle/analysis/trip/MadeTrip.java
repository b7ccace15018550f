// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.function.DoubleUnaryOperator;
import opercle.analysis.farm.Tank;
import opercle.analysis.stock.Fish;
import opercle.analysis.stock.Species;
import opercle.analysis.trip.TripEntry.Loaded;
import opercle.analysis.trip.TripEntry.StopCheck;
import opercle.analysis.trip.TripEntry.Unloaded;
import opercle.analysis.trip.TripTank.Surface;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;

/** Trips of the made-up farm, to test with. */
public final class MadeTrip {

  /** When the fish went in. */
  public static final Instant START = Instant.parse("2026-03-14T09:00:00Z");

  private MadeTrip() {}

  /** 140 kg of carp in the trailer tank. */
  public static Trip trailer(String id) {
    return of(id, 650.0, 2.5, Surface.MOVING, Species.COMMON_CARP, 140.0, 60);
  }

  /** The same fish in the same tank, over a night. */
  public static Trip night(String id) {
    Trip road = trailer(id);
    return new Trip(
        id,
        Trip.Kind.NIGHT,
        road.tank(),
        Optional.empty(),
        "",
        "",
        road.load(),
        OptionalDouble.empty(),
        road.limits(),
        OptionalDouble.empty(),
        Optional.empty(),
        Optional.empty());
  }

  static Trip of(
      String id,
      double waterLitres,
      double flow,
      Surface surface,
      Species species,
      double kg,
      int count) {
    return new Trip(
        id,
        Trip.Kind.ROAD,
        tank(waterLitres, flow, surface, 0.0),
        Optional.of("Trailer"),
        "Holding 2",
        "Long Pool",
        List.of(new Tank.Load(species, kg, OptionalInt.of(count), Optional.empty())),
        OptionalDouble.of(120.0),
        new TripLimits(6.0, 3.0, 200.0),
        OptionalDouble.of(180.0),
        Optional.empty(),
        Optional.empty());
  }

  static TripTank tank(double waterLitres, double flow, Surface surface, double waterTakes) {
    return new TripTank(
        "t1",
        "Trailer tank",
        waterLitres,
        0.7,
        new Tank.Supply(
            Tank.Gas.OXYGEN,
            Tank.Source.CYLINDER,
            Tank.Diffuser.CERAMIC,
            flow,
            Optional.of(new Tank.Cylinder(20.0, 200.0))),
        surface,
        101.325,
        waterTakes,
        0.0,
        0.0);
  }

  /** The loading of a trip. */
  public static Loaded loaded(Trip trip) {
    return new Loaded(trip.id() + "-in", START, "Maren", Optional.empty(), trip);
  }

  /** A check some minutes after loading. */
  public static StopCheck check(String id, long minutes, Fish fish, double oxygenMgPerL) {
    return new StopCheck(
        id,
        START.plusSeconds(60 * minutes),
        "Tove",
        Optional.empty(),
        fish,
        OptionalDouble.of(oxygenMgPerL),
        OptionalDouble.empty(),
        OptionalDouble.of(2.5),
        "");
  }

  /** The unloading some minutes after loading. */
  public static Unloaded unloaded(String id, long minutes) {
    return new Unloaded(
        id,
        START.plusSeconds(60 * minutes),
        "Maren",
        Optional.empty(),
        List.of(),
        OptionalDouble.of(150.0),
        "");
  }

  /** Readings of one probe at even intervals, from the start on; the value by seconds. */
  public static List<Reading> readings(
      Quantity quantity, int everySeconds, int seconds, DoubleUnaryOperator value) {
    List<Reading> readings = new ArrayList<>();
    for (int s = 0; s <= seconds; s += everySeconds) {
      readings.add(reading(quantity, s, value.applyAsDouble(s)));
    }
    return readings;
  }

  static Reading reading(Quantity quantity, double second, double value) {
    return new Reading("t1", quantity, "1", START.plusNanos(Math.round(second * 1e9)), value);
  }

  static TripTrace trace(long minutes, List<Reading> readings) {
    return new TripTrace(START, START.plusSeconds(60 * minutes), readings, List.of(), List.of());
  }
}
