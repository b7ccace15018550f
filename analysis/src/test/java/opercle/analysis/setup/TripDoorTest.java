// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.setup;

import static opercle.analysis.trip.MadeTrip.START;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.UUID;
import opercle.analysis.alarm.RefusedActException;
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
import opercle.analysis.records.Recorded.Correction;
import opercle.analysis.records.Standing;
import opercle.analysis.records.Water;
import opercle.analysis.stock.Species;
import opercle.analysis.trip.MadeTrip;
import opercle.analysis.trip.RefusedEntryException;
import opercle.analysis.trip.Trip;
import opercle.analysis.trip.TripEntry.Loaded;
import opercle.analysis.trip.TripEntry.Loss;
import opercle.analysis.trip.TripEntry.Unloaded;
import opercle.analysis.trip.TripEntry.Withdrawn;
import opercle.analysis.trip.TripLog;
import opercle.analysis.tripfile.TripFile;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class TripDoorTest {

  private static final Instant OUT = START.plus(Duration.ofHours(1));
  private static final String MOVEMENT = "movement-1";

  @TempDir Path folder;

  private Instant now = START.minusSeconds(60);
  private FarmBook book;
  private FarmDesk desk;
  private TripRecords trips;
  private RecordBook records;
  private TripDoor door;

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

  private static final Farm FARM =
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

  private static Unloaded out(String id, OptionalInt lost) {
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

  private static Unloaded put(Unloaded right, String id, int lost) {
    return new Unloaded(
        id,
        right.time(),
        right.by(),
        Optional.of(right.id()),
        List.of(new Loss(Species.COMMON_CARP, OptionalInt.of(lost), OptionalDouble.empty())),
        OptionalDouble.empty(),
        "");
  }

  private double kg(String tank) {
    return desk.farm().tank(tank).orElseThrow().loadKg();
  }

  private void byHand(String tank, double kg) {
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

  private void recordMovement(long count, OptionalLong died) {
    keep("water-stew", water("Stew 2"));
    keep("water-long", water("Long Pool"));
    recordMovement(MOVEMENT, "Common carp", count, died);
  }

  private void recordMovement(String id, String species, long count, OptionalLong died) {
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

  private static Water water(String name) {
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

  private void keep(String id, Entry entry) {
    assertThat(records.keep(id, "Maren", START, Optional.empty(), entry))
        .isInstanceOf(RecordBook.Outcome.Kept.class);
  }

  private Standing<Movement> movement() {
    return movement(MOVEMENT);
  }

  private Standing<Movement> movement(String id) {
    return records.records().find(Movement.class, id).orElseThrow();
  }

  private static Unloaded out(String id, Loss... losses) {
    return new Unloaded(
        id, OUT, "Maren", Optional.empty(), List.of(losses), OptionalDouble.empty(), "");
  }

  private static Loss lost(Species species, int count) {
    return new Loss(species, OptionalInt.of(count), OptionalDouble.empty());
  }

  /** A trip of carp and tench, under the movement of the one and, where it is named, of others. */
  private static Trip mixed(String... movements) {
    return MadeTrip.trailer("trip-2")
        .withLoad(
            List.of(
                new Tank.Load(Species.COMMON_CARP, 100.0, OptionalInt.of(50), Optional.empty()),
                new Tank.Load(Species.TENCH, 20.0, OptionalInt.of(25), Optional.empty())))
        .withMovement(movements);
  }

  private static Loaded right(Loaded wrong, String id, Trip trip) {
    return new Loaded(id, wrong.time(), "Tove", Optional.of(wrong.id()), trip);
  }

  @Test
  void unloading_takesTheFishOutOfTheirTank_andOutOfNoOther_once() {
    TripLog log = door.add("trip-1", out("o1", OptionalInt.empty())).orElseThrow();
    long version = desk.version().number();

    assertThat(log.unloaded()).isPresent();
    assertThat(kg("t1")).isZero();
    assertThat(kg("h1")).isEqualTo(55.0);
    assertThat(desk.version().by()).isEqualTo("Maren");

    byHand("t1", 90.0); // the next load
    assertThat(door.add("trip-1", out("o1", OptionalInt.empty()))).contains(log);
    door.add("trip-1", put(out("o1", OptionalInt.empty()), "o2", 1));

    assertThat(kg("t1")).as("a form sent again, and a correction, take nothing").isEqualTo(90.0);
    assertThat(desk.version().number()).isEqualTo(version + 1);
  }

  @Test
  void fishThatTheKeeperTookOutByHand_areNotTakenTwice() {
    byHand("t1", -140.0);
    byHand("t1", 90.0); // others, before anybody wrote the unloading down
    door.add("trip-1", out("o1", OptionalInt.empty()));

    assertThat(kg("t1")).isEqualTo(90.0);
    assertThat(trips.trip("trip-1").orElseThrow().unloaded()).isPresent();
  }

  @Test
  void someOfThem_takenOutByHandOnTheWay_leaveNothing() {
    byHand("t1", -50.0);
    door.add("trip-1", out("o1", OptionalInt.empty()));

    assertThat(kg("t1")).isZero();
  }

  @Test
  void nightThatIsOver_leavesTheFishWhereTheyAre() {
    trips.begin(MadeTrip.loaded(MadeTrip.night("night-1")));
    door.add("night-1", out("o1", OptionalInt.of(1)));

    assertThat(kg("t1")).isEqualTo(140.0);
  }

  @Test
  void losses_standOnTheMovement_andFollowTheirCorrections() {
    recordMovement(60, OptionalLong.empty());
    Unloaded out = out("o1", OptionalInt.of(2));
    door.add("trip-1", out);
    assertThat(movement().entry().died()).hasValue(2);
    assertThat(movement().versions()).hasSize(2);

    door.add("trip-1", out);
    assertThat(movement().versions()).as("sent again").hasSize(2);
    door.add("trip-1", put(out, "o2", 3));
    assertThat(movement().entry().died()).hasValue(3);
    door.add("trip-1", new Withdrawn("w1", OUT, "Maren", "wrong tank"));
    assertThat(movement().entry().died()).isEmpty();
  }

  @Test
  void lossesThatTheKeeperWroteDown_areNotCountedTwice_norChanged() {
    recordMovement(60, OptionalLong.of(2));
    door.add("trip-1", out("o1", OptionalInt.of(2)));
    assertThat(movement().versions()).hasSize(1);

    Unloaded more = put(out("o1", OptionalInt.of(2)), "o2", 4);
    door.add("trip-1", more);
    assertThat(movement().entry().died()).as("the keeper said otherwise").hasValue(2);
  }

  @Test
  void keepersWordAfterwards_staysAlsoWhereTheUnloadingIsPutRight() {
    recordMovement(60, OptionalLong.empty());
    door.add("trip-1", out("o1", OptionalInt.of(2)));
    var unused =
        records.keep(
            UUID.randomUUID().toString(),
            "Tove",
            now,
            Optional.of(new Correction(MOVEMENT, "Two more at the pool.", false)),
            movement().entry().withDied(OptionalLong.of(4)));
    door.add("trip-1", put(out("o1", OptionalInt.of(2)), "o2", 1));

    assertThat(movement().entry().died()).hasValue(4);
  }

  /** Putting something else right on the movement says nothing of the dead. */
  @Test
  void lossesOfTwoTripsUnderOneMovement_addUp_alsoWhereTheKeeperWroteBetween() {
    recordMovement(120, OptionalLong.empty());
    door.add("trip-1", out("o1", OptionalInt.of(2)));
    var unused =
        records.keep(
            UUID.randomUUID().toString(),
            "Tove",
            now,
            Optional.of(new Correction(MOVEMENT, "The other pool.", false)),
            movement().entry());
    Loaded second = MadeTrip.loaded(MadeTrip.trailer("trip-2").withMovement(MOVEMENT));
    trips.begin(second);
    door.add("trip-2", out("o2", OptionalInt.of(1)));

    assertThat(movement().entry().died()).hasValue(3);
  }

  @Test
  void fileOfBefore_takenInAgain_putsNoOldFigureOnTheMovement() {
    recordMovement(60, OptionalLong.empty());
    Unloaded out = out("o1", OptionalInt.of(3));
    TripLog then = door.add("trip-1", out).orElseThrow();
    door.add("trip-1", put(out, "o2", 5));
    TripFile file = new TripFile("Sallowmere", then, List.of(), List.of(), List.of(), List.of());

    assertThat(door.take(file).entries()).isZero();
    assertThat(movement().entry().died()).hasValue(5);
  }

  @Test
  void fileOfTheLorry_bringsItsLossesToTheMovement() {
    recordMovement(60, OptionalLong.empty());
    TripLog there = trips.trip("trip-1").orElseThrow().with(out("o1", OptionalInt.of(2)));
    TripFile file = new TripFile("Sallowmere", there, List.of(), List.of(), List.of(), List.of());

    assertThat(door.take(file).entries()).isEqualTo(1);
    assertThat(door.take(file).entries()).isZero();
    assertThat(movement().entry().died()).hasValue(2);
    assertThat(movement().versions()).hasSize(2);
  }

  @Test
  void tripWithdrawnAfterItsUnloading_leavesTheTank_andOffersToPutTheFishBack() {
    TripLog out = door.add("trip-1", out("o1", OptionalInt.empty())).orElseThrow();
    assertThat(door.offer(out)).as("the unloading has done it").isEmpty();
    TripLog gone =
        door.add("trip-1", new Withdrawn("w1", OUT, "Maren", "wrong tank")).orElseThrow();
    assertThat(kg("t1")).isZero();
    TankOffer offer = door.offer(gone).orElseThrow();
    assertThat(offer.tank().loads()).isEmpty();
    assertThat(offer.then()).isEqualTo(FARM.tank("t1").orElseThrow().loads());

    assertThatThrownBy(() -> door.settle(gone, "w1", true, offer.version() - 1, "Tove"))
        .isInstanceOf(RefusedActException.class);
    door.settle(gone, "w1", true, offer.version(), "Tove");
    door.settle(gone, "w1", true, offer.version(), "Tove");

    assertThat(kg("t1")).isEqualTo(140.0);
    assertThat(desk.version().by()).isEqualTo("Tove");
    assertThat(door.offer(gone)).isEmpty();
  }

  @Test
  void tankThatIsToStay_isNotAskedAboutAgain() {
    door.add("trip-1", out("o1", OptionalInt.empty()));
    TripLog gone =
        door.add("trip-1", new Withdrawn("w1", OUT, "Maren", "wrong tank")).orElseThrow();
    door.settle(gone, "w1", false, desk.version().number(), "Tove");

    assertThat(door.offer(gone)).isEmpty();
    assertThat(kg("t1")).isZero();
  }

  @Test
  void tripOfTheLorry_leavesTheTankAsItIs_andOffersToTakeTheFishOut() {
    TripLog there = trips.trip("trip-1").orElseThrow().with(out("o1", OptionalInt.of(2)));
    TripFile file = new TripFile("Sallowmere", there, List.of(), List.of(), List.of());
    door.take(file);
    assertThat(kg("t1")).isEqualTo(140.0);
    TankOffer offer = door.offer(there).orElseThrow();
    assertThat(offer.then()).isEmpty();

    door.take(file);
    assertThat(door.offer(there)).as("taken in twice").contains(offer);
    door.settle(there, "o1", true, offer.version(), "Tove");
    assertThat(kg("t1")).isZero();
    byHand("t1", 90.0);
    door.take(file);
    assertThat(door.offer(there)).isEmpty();
    assertThat(kg("t1")).isEqualTo(90.0);
  }

  @Test
  void loadingPutRightOnTheWay_putsTheTankRight_butNotTwice() {
    Loaded in = trips.trip("trip-1").orElseThrow().loaded();
    List<Tank.Load> fourteen =
        List.of(new Tank.Load(Species.COMMON_CARP, 14.0, OptionalInt.of(6), Optional.empty()));
    Loaded right = right(in, "in-2", in.trip().withLoad(fourteen));
    door.add("trip-1", right);
    door.add("trip-1", right);
    assertThat(desk.farm().tank("t1").orElseThrow().loads()).isEqualTo(fourteen);

    door.add("trip-1", out("o1", OptionalInt.of(2)));
    assertThat(kg("t1")).isZero();
  }

  @Test
  void mistakePutRightAtTheTank_andThenInTheLoading_leavesNoFishThatAreNotThere() {
    byHand("t1", -126.0);
    Loaded in = trips.trip("trip-1").orElseThrow().loaded();
    List<Tank.Load> fourteen =
        List.of(new Tank.Load(Species.COMMON_CARP, 14.0, OptionalInt.of(6), Optional.empty()));
    door.add("trip-1", right(in, "in-2", in.trip().withLoad(fourteen)));
    assertThat(kg("t1")).isEqualTo(14.0);

    door.add("trip-1", out("o1", OptionalInt.of(2)));
    assertThat(kg("t1")).isZero();
  }

  @Test
  void whatWasWeighedOnly_wipesNoNumber() {
    recordMovement(120, OptionalLong.empty());
    door.add("trip-1", out("o1", OptionalInt.of(2)));
    trips.begin(MadeTrip.loaded(MadeTrip.trailer("trip-2").withMovement(MOVEMENT)));
    door.add(
        "trip-2",
        new Unloaded(
            "o2",
            OUT,
            "Maren",
            Optional.empty(),
            List.of(new Loss(Species.COMMON_CARP, OptionalInt.empty(), OptionalDouble.of(1.5))),
            OptionalDouble.empty(),
            ""));

    assertThat(movement().entry().died()).hasValue(2);
  }

  @Test
  void unloadingThatIsRefused_changesNothing() {
    recordMovement(60, OptionalLong.empty());

    assertThatThrownBy(() -> door.add("trip-1", out("o1", OptionalInt.of(61))))
        .isInstanceOf(RefusedEntryException.class);

    assertThat(kg("t1")).isEqualTo(140.0);
    assertThat(new FarmRecords(book).newest().orElseThrow().farm()).isEqualTo(FARM);
    assertThat(movement().entry().died()).isEmpty();
    assertThat(trips.trip("trip-1").orElseThrow().isUnderWay()).isTrue();
  }

  @Test
  void lossesOfAMixedLoad_standEachOnTheMovementOfItsKind() {
    recordMovement(60, OptionalLong.empty());
    recordMovement("movement-2", "tench", 25, OptionalLong.empty());
    door.add("trip-1", new Withdrawn("w1", START.plusSeconds(9), "Maren", "two kinds"));
    trips.begin(MadeTrip.loaded(mixed(MOVEMENT, "movement-2")));
    Unloaded out = out("o2", lost(Species.COMMON_CARP, 2), lost(Species.TENCH, 3));
    door.add("trip-2", out);

    assertThat(movement().entry().died()).hasValue(2);
    assertThat(movement("movement-2").entry().died()).hasValue(3);
    TripFile file =
        new TripFile(
            "Sallowmere", trips.trip("trip-2").orElseThrow(), List.of(), List.of(), List.of());
    assertThat(door.take(file)).isEqualTo(new TripRecords.Taken(0, 0, 0, 0, 0));
    assertThat(movement("movement-2").versions()).hasSize(2);
  }

  @Test
  void movementOfTheOtherKind_thatIsNamedAfterwards_getsItsLosses() {
    recordMovement(60, OptionalLong.empty());
    recordMovement("movement-2", "tench", 25, OptionalLong.empty());
    door.add("trip-1", new Withdrawn("w1", START.plusSeconds(9), "Maren", "two kinds"));
    Loaded in = MadeTrip.loaded(mixed(MOVEMENT));
    trips.begin(in);
    door.add("trip-2", out("o2", lost(Species.TENCH, 3)));
    assertThat(movement("movement-2").entry().died()).isEmpty();

    door.add("trip-2", right(in, "in-2", mixed(MOVEMENT, "movement-2")));

    assertThat(movement("movement-2").entry().died()).hasValue(3);
  }

  @Test
  void tripThatIsPutUnderAnotherMovement_takesItsDeadAlong() {
    recordMovement(60, OptionalLong.empty());
    recordMovement("movement-2", "Common carp", 60, OptionalLong.empty());
    Loaded in = trips.trip("trip-1").orElseThrow().loaded();
    door.add("trip-1", out("o1", OptionalInt.of(2)));
    door.add("trip-1", right(in, "in-2", in.trip().withMovement("movement-2")));

    assertThat(movement().entry().died()).as("on the old one").isEmpty();
    assertThat(movement().versions()).as("and both can be read").hasSize(3);
    assertThat(movement("movement-2").entry().died()).hasValue(2);
    door.add("trip-1", right(in, "in-3", in.trip().withMovement()));
    assertThat(movement("movement-2").entry().died()).isEmpty();
  }

  @Test
  void moreDeadThanWentByTheMovement_areRefusedWithTheLimit_andNothingIsLostOfAFile() {
    recordMovement(50, OptionalLong.empty());
    Unloaded out = out("o1", OptionalInt.of(55));
    assertThatThrownBy(() -> door.add("trip-1", out))
        .isInstanceOf(RefusedEntryException.class)
        .hasMessageContaining(
            "55 common carp did not live, and the movement record says that 50 went.");
    assertThat(kg("t1")).isEqualTo(140.0);

    TripLog there = trips.trip("trip-1").orElseThrow().with(out);
    TripFile file = new TripFile("Sallowmere", there, List.of(), List.of(), List.of());
    assertThat(door.take(file).problems())
        .containsExactly("55 common carp did not live, and the movement record says that 50 went.");
    assertThat(trips.trip("trip-1")).contains(there);
    assertThat(movement().entry().died()).isEmpty();
  }

  @Test
  void fileWithMoreDeadThanWentIn_isTakenInWhole_andSaysSo() {
    TripLog there =
        trips.trip("trip-1").orElseThrow().with(out("o1", lost(Species.COMMON_CARP, 61)));
    TripFile file = new TripFile("Sallowmere", there, List.of(), List.of(), List.of());

    assertThat(door.take(file).problems())
        .containsExactly("61 common carp cannot be lost: 60 went in.");
    assertThat(trips.trip("trip-1")).contains(there);
  }
}
