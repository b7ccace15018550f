// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.setup;

import static opercle.analysis.trip.MadeTrip.START;
import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;
import opercle.analysis.book.BookKind;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.FarmRecords;
import opercle.analysis.book.RecordBook;
import opercle.analysis.book.TripRecords;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmReader;
import opercle.analysis.farm.Stocking;
import opercle.analysis.farm.Tank;
import opercle.analysis.records.Entry;
import opercle.analysis.records.Movement;
import opercle.analysis.records.Standing;
import opercle.analysis.records.Water;
import opercle.analysis.stock.Species;
import opercle.analysis.trip.MadeTrip;
import opercle.analysis.trip.Trip;
import opercle.analysis.trip.TripEntry.Loaded;
import opercle.analysis.trip.TripEntry.Loss;
import opercle.analysis.trip.TripEntry.Unloaded;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.io.TempDir;

/** For tests of the door of trips: one is on the way with the fish of a tank, under a movement. */
abstract class AtTheTripDoor {

  static final Farm FARM =
      FarmReader.parse(
          "farm.yaml",
          """
          farm: Sallowmere
          tanks:
            - id: t1
              name: Trailer tank
              kind: transport
              waterLitres: 650
              depthM: 0.7
              supply: { gas: oxygen, source: cylinder, diffuser: ceramic, flowLPerMin: 2.5,
                        cylinder: { waterLitres: 20, fullBar: 200 } }
              load: { species: common-carp, kg: 140, count: 60 }
            - id: h1
              name: Holding 1
              kind: holding
              waterLitres: 1500
              supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }
              load: { species: tench, kg: 55 }
          """);

  static final Instant OUT = START.plus(Duration.ofHours(1));
  static final String MOVEMENT = "movement-1";

  @TempDir Path folder;

  Instant now = START.minusSeconds(60);
  FarmBook book;
  FarmDesk desk;
  TripRecords trips;
  RecordBook records;
  TripDoor door;

  BookKind kind() {
    return BookKind.SQLITE;
  }

  @BeforeEach
  void open() {
    book = FarmBook.open(kind().place(folder));
    InstantSource clock = () -> now;
    desk = FarmDesk.open(new FarmRecords(book), FARM, "farm.yaml", clock);
    trips = new TripRecords(book, "Sallowmere");
    records = new RecordBook(book, "Sallowmere");
    door =
        new TripDoor(trips, desk, new FarmRecords(book), new RecordBook(book, "Sallowmere"), clock);
    var unused = trips.begin(MadeTrip.loaded(MadeTrip.trailer("trip-1").withMovement(MOVEMENT)));
    now = OUT.plusSeconds(5);
  }

  @AfterEach
  void close() {
    book.close();
  }

  static Unloaded out(String id, OptionalInt lost) {
    return new Unloaded(
        id,
        OUT,
        "Maren",
        Optional.empty(),
        lost.isPresent()
            ? List.of(new Loss(Species.COMMON_CARP, lost, OptionalDouble.empty()))
            : List.of(),
        OptionalDouble.empty(),
        "");
  }

  static Unloaded put(Unloaded right, String id, int lost) {
    return new Unloaded(
        id,
        right.time(),
        right.by(),
        Optional.of(right.id()),
        List.of(new Loss(Species.COMMON_CARP, OptionalInt.of(lost), OptionalDouble.empty())),
        OptionalDouble.empty(),
        "");
  }

  double kg(String tank) {
    return desk.farm().tank(tank).orElseThrow().loadKg();
  }

  void byHand(String tank, double kg) {
    Farm farm = desk.farm();
    List<Tank> tanks =
        farm.tanks().stream()
            .map(
                t ->
                    t.id().equals(tank)
                        ? t.withLoads(
                            kg < 0.0
                                ? Stocking.without(
                                    t.loads(), Species.COMMON_CARP, -kg, OptionalInt.empty())
                                : Stocking.with(
                                    t.loads(),
                                    new Tank.Load(
                                        Species.COMMON_CARP,
                                        kg,
                                        OptionalInt.empty(),
                                        Optional.empty())))
                        : t)
            .toList();
    var unused =
        desk.change(OptionalLong.empty(), "Tove", f -> new Farm(f.name(), f.altitudeM(), tanks));
  }

  void recordMovement(long count, OptionalLong died) {
    keep("water-stew", water("Stew 2"));
    keep("water-long", water("Long Pool"));
    recordMovement(MOVEMENT, "Common carp", count, died);
  }

  void recordMovement(String id, String species, long count, OptionalLong died) {
    keep(
        id,
        new Movement(
            species,
            OptionalLong.of(count),
            OptionalDouble.of(140.0),
            Optional.of("water-stew"),
            Optional.of("water-long"),
            START,
            OUT,
            died,
            Movement.Means.NOT_SAID,
            Movement.Papers.NONE,
            Optional.empty(),
            Optional.empty(),
            Optional.empty()));
  }

  static Water water(String name) {
    return new Water(
        name,
        Water.Type.POND,
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        Water.Connection.NOT_SAID,
        Optional.empty());
  }

  void keep(String id, Entry entry) {
    assertThat(records.keep(id, "Maren", START, Optional.empty(), entry))
        .isInstanceOf(RecordBook.Outcome.Kept.class);
  }

  Standing<Movement> movement() {
    return movement(MOVEMENT);
  }

  Standing<Movement> movement(String id) {
    return records.records().find(Movement.class, id).orElseThrow();
  }

  static Unloaded out(String id, Loss... losses) {
    return new Unloaded(
        id, OUT, "Maren", Optional.empty(), List.of(losses), OptionalDouble.empty(), "");
  }

  static Loss lost(Species species, int count) {
    return new Loss(species, OptionalInt.of(count), OptionalDouble.empty());
  }

  /** A trip of carp and tench, under the movement of the one and, where it is named, of others. */
  static Trip mixed(String... movements) {
    return MadeTrip.trailer("trip-2")
        .withLoad(
            List.of(
                new Tank.Load(Species.COMMON_CARP, 100.0, OptionalInt.of(50), Optional.empty()),
                new Tank.Load(Species.TENCH, 20.0, OptionalInt.of(25), Optional.empty())))
        .withMovement(movements);
  }

  static Loaded right(Loaded wrong, String id, Trip trip) {
    return new Loaded(id, wrong.time(), "Tove", Optional.of(wrong.id()), trip);
  }
}
