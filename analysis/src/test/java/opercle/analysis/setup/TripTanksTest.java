// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.setup;

import static opercle.analysis.trip.MadeTrip.START;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.function.UnaryOperator;
import opercle.analysis.alarm.RefusedActException;
import opercle.analysis.book.BookKind;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.FarmRecords;
import opercle.analysis.book.FarmVersion;
import opercle.analysis.book.RecordBook;
import opercle.analysis.book.TripRecords;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmReader;
import opercle.analysis.farm.Tank;
import opercle.analysis.stock.Species;
import opercle.analysis.trip.MadeTrip;
import opercle.analysis.trip.RefusedEntryException;
import opercle.analysis.trip.Trip;
import opercle.analysis.trip.TripEntry.Loaded;
import opercle.analysis.trip.TripEntry.Unloaded;
import opercle.analysis.trip.TripEntry.Withdrawn;
import opercle.analysis.trip.TripLog;
import opercle.analysis.tripfile.TripFile;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Somebody else writes of the same trip, or of the same tank, in between. */
class TripTanksTest {

  private static final Instant OUT = START.plus(Duration.ofHours(1));
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
          """);

  @TempDir Path folder;

  private Instant now = START.minusSeconds(60);
  private FarmBook book;
  private FarmDesk desk;
  private TripRecords trips;
  private TripDoor door;

  @BeforeEach
  void open() {
    book = FarmBook.open(BookKind.SQLITE.place(folder));
    desk = FarmDesk.open(new FarmRecords(book), FARM, "farm.yaml", () -> now);
    trips = new TripRecords(book, "Sallowmere");
    door = door(desk);
    var unused = trips.begin(MadeTrip.loaded(MadeTrip.trailer("trip-1")));
    now = OUT.plusSeconds(5);
  }

  @AfterEach
  void close() {
    book.close();
  }

  private TripDoor door(FarmDoor farm) {
    return new TripDoor(
        trips, farm, new FarmRecords(book), new RecordBook(book, "Sallowmere"), () -> now);
  }

  /** A farm that is busy: before its first change begins, and before it is kept, others are. */
  private final class Busy implements FarmDoor {
    private Runnable first;
    private Runnable between = () -> {};

    Busy(Runnable first) {
      this.first = first;
    }

    @Override
    public FarmVersion version() {
      return desk.version();
    }

    @Override
    public List<FarmVersion> history(int most) {
      return desk.history(most);
    }

    @Override
    public FarmVersion putIn(
        OptionalLong basedOn, String by, UnaryOperator<Farm> change, PutIn fish) {
      return desk.putIn(basedOn, by, change, fish);
    }

    @Override
    public FarmVersion change(
        OptionalLong basedOn, String by, UnaryOperator<Farm> change, Runnable with) {
      Runnable others = first;
      first = () -> {};
      others.run();
      return desk.change(
          basedOn,
          by,
          farm -> {
            Farm changed = change.apply(farm);
            between.run();
            return changed;
          },
          with);
    }
  }

  private static Trip trip(double kg) {
    return MadeTrip.trailer("trip-1").withLoad(carp(kg, OptionalInt.of(60)));
  }

  private double kg() {
    return desk.farm().tank("t1").orElseThrow().loadKg();
  }

  private static List<Tank.Load> carp(double kg, OptionalInt count) {
    return List.of(new Tank.Load(Species.COMMON_CARP, kg, count, Optional.empty()));
  }

  private void byHand(double kg) {
    Tank tank = desk.farm().tank("t1").orElseThrow();
    List<Tank.Load> loads = kg > 0.0 ? carp(kg, OptionalInt.empty()) : List.of();
    var unused =
        desk.change(
            OptionalLong.empty(),
            "Tove",
            f -> new Farm(f.name(), f.altitudeM(), List.of(tank.withLoads(loads))));
  }

  private static Unloaded out() {
    return new Unloaded(
        "o1", OUT, "Maren", Optional.empty(), List.of(), OptionalDouble.empty(), "");
  }

  private Loaded right(double kg) {
    Loaded wrong = trips.trip("trip-1").orElseThrow().loaded();
    return new Loaded(
        "in-2",
        wrong.time(),
        "Tove",
        Optional.of(wrong.id()),
        wrong.trip().withLoad(carp(kg, OptionalInt.of(60))));
  }

  @Test
  void unloadingThatIsSentTwiceAtOnce_takesTheFishOnce() {
    byHand(164.0); // 24 of them are others
    TripDoor late = door(new Busy(() -> door.add("trip-1", out())));

    assertThat(late.add("trip-1", out())).contains(trips.trip("trip-1").orElseThrow());
    assertThat(kg()).isEqualTo(24.0);
    assertThat(trips.tanks().of("trip-1").get("o1")).hasValue(desk.version().number());
  }

  @Test
  void loadingPutRight_whileSomebodyWritesTheUnloading_fillsNoEmptyTank() {
    TripDoor late = door(new Busy(() -> door.add("trip-1", out())));
    TripLog log = late.add("trip-1", right(150.0)).orElseThrow();

    assertThat(log.entries()).hasSize(3);
    assertThat(kg()).isZero();
    assertThat(trips.tanks().of("trip-1"))
        .as("it may still be asked about")
        .doesNotContainKey("in-2");
    assertThat(door.offer(log)).as("all are out").isEmpty();
  }

  @Test
  void fileThatIsTakenInBetween_leavesTheTankAsItIs() {
    TripLog there = trips.trip("trip-1").orElseThrow().with(out());
    TripFile file = new TripFile("Sallowmere", there, List.of(), List.of(), List.of());
    Busy busy = new Busy(() -> {});
    busy.between = () -> door.take(file);
    TripDoor late = door(busy);

    assertThatThrownBy(() -> late.add("trip-1", right(150.0)))
        .isInstanceOf(RefusedEntryException.class)
        .hasMessageContaining("Look at the trip again.");
    assertThat(kg()).isEqualTo(140.0);
    assertThat(trips.trip("trip-1")).contains(there);
  }

  /** Somebody on the lorry put the loading right too, and the trip is still under way. */
  @Test
  void loadingThatAFilePutsRightBetween_isNotFollowedByWhatWasSeenBefore() {
    Loaded wrong = trips.trip("trip-1").orElseThrow().loaded();
    TripLog there =
        trips
            .trip("trip-1")
            .orElseThrow()
            .with(new Loaded("in-9", wrong.time(), "Lorry", Optional.of(wrong.id()), trip(130.0)));
    TripFile file = new TripFile("Sallowmere", there, List.of(), List.of(), List.of());
    Busy busy = new Busy(() -> {});
    busy.between = () -> door.take(file);
    TripDoor late = door(busy);

    assertThatThrownBy(() -> late.add("trip-1", out()))
        .isInstanceOf(RefusedEntryException.class)
        .hasMessageContaining("Look at the trip again.");
    assertThat(kg()).isEqualTo(140.0);
  }

  @Test
  void whatAnotherPhoneHasAnsweredOtherwise_isSaid_withWhatStands() {
    byHand(20.0);
    door.add("trip-1", right(14.0));
    TripLog log = door.add("trip-1", out()).orElseThrow();
    TankOffer offer = door.offer(log).orElseThrow();
    Busy busy = new Busy(() -> door.settle(log, offer.entry(), false, offer.version(), "Maren"));

    assertThatThrownBy(() -> door(busy).settle(log, offer.entry(), true, offer.version(), "Tove"))
        .isInstanceOf(RefusedEntryException.class)
        .hasMessageContaining(
            "Somebody has answered meanwhile: the record of Trailer tank stays as it is. It says"
                + " 20 kg of common carp now.");
    assertThat(kg()).isEqualTo(20.0);
    assertThatThrownBy(() -> door.settle(log, offer.entry(), true, offer.version(), "Tove"))
        .isInstanceOf(RefusedEntryException.class);
    door.settle(log, offer.entry(), false, offer.version(), "Tove"); // the same answer
  }

  /** What of an unloading is sure is done at once; the rest is asked about, and once. */
  @Test
  void restOfAnUnloading_isAskedAbout_andEitherAnswerHolds() {
    door.add("trip-1", new Withdrawn("w1", START.plusSeconds(9), "Maren", "a slip"));
    for (boolean isTaken : new boolean[] {false, true}) {
      String id = isTaken ? "trip-2" : "trip-3";
      byHand(0.0);
      byHand(140.0);
      now = now.plusSeconds(60);
      Trip slip = MadeTrip.trailer(id).withLoad(carp(280.0, OptionalInt.of(120)));
      trips.begin(new Loaded(id, now, "Maren", Optional.empty(), slip));
      now = now.plusSeconds(60);
      byHand(230.0); // 90 of them are others
      TripLog log =
          door.add(
                  id,
                  new Unloaded(
                      id + "-out",
                      now,
                      "Maren",
                      Optional.empty(),
                      List.of(),
                      OptionalDouble.empty(),
                      ""))
              .orElseThrow();
      assertThat(kg()).isEqualTo(90.0);

      TankOffer offer = door.offer(log).orElseThrow();
      assertThat(offer.then()).isEmpty();
      door.settle(log, offer.entry(), isTaken, offer.version(), "Tove");
      assertThat(kg()).isEqualTo(isTaken ? 0.0 : 90.0);
      byHand(33.0); // the next load
      assertThat(door.offer(log)).as("said once").isEmpty();
    }
  }

  /** As before anybody kept what a trip did to its tank. */
  @Test
  void tripOfWhichNothingIsKept_isPutRight_andAsksNothing() {
    trips.add("trip-1", out());
    byHand(0.0);
    byHand(90.0); // the next load
    byHand(0.0);
    TripLog log = door.add("trip-1", right(150.0)).orElseThrow();

    assertThat(door.offer(log)).isEmpty();
    assertThat(kg()).isZero();
  }

  @Test
  void othersThatCameSince_areNotWrittenDownAsGone_norAskedAbout() {
    byHand(0.0);
    byHand(90.0);
    door.add("trip-1", right(14.0));
    TripLog log = door.add("trip-1", out()).orElseThrow();

    assertThat(kg()).isEqualTo(90.0);
    assertThat(door.offer(log)).isEmpty();
  }

  @Test
  void moreOutThanWentIn_leavesTheFish_andAsksAtTheEnd() {
    byHand(20.0);
    door.add("trip-1", right(14.0));
    assertThat(kg()).isEqualTo(20.0);
    TripLog log = door.add("trip-1", out()).orElseThrow();
    assertThat(kg()).isEqualTo(20.0);

    TankOffer offer = door.offer(log).orElseThrow();
    assertThat(offer.then()).isEmpty();
    door.settle(log, "o1", false, offer.version(), "Tove");
    assertThat(door.offer(log)).as("said once").isEmpty();
    assertThat(kg()).isEqualTo(20.0);
  }

  /** The fish were written down at the tank after the trip was begun, not to the kg. */
  @Test
  void unloadingThatTakesNothing_asksAboutTheFishThatWerePutIn_andEitherAnswerHolds() {
    door.add("trip-1", new Withdrawn("w1", START.plusSeconds(9), "Maren", "a slip"));
    for (boolean isTaken : new boolean[] {false, true}) {
      String id = isTaken ? "trip-2" : "trip-3";
      byHand(0.0);
      now = now.plusSeconds(60);
      Trip trip = MadeTrip.trailer(id).withLoad(carp(140.0, OptionalInt.of(60)));
      trips.begin(new Loaded(id, now, "Maren", Optional.empty(), trip));
      now = now.plusSeconds(60);
      byHand(139.0);
      TripLog log = door.add(id, outOf(id)).orElseThrow();
      assertThat(kg()).as("they call").isEqualTo(139.0);

      TankOffer offer = door.offer(log).orElseThrow();
      assertThat(offer.then()).isEmpty();
      now = now.plusSeconds(60);
      byHand(172.0); // 33 of the next load
      assertThat(door.offer(log).orElseThrow().then()).isEqualTo(carp(33.0, OptionalInt.empty()));
      door.settle(log, offer.entry(), isTaken, desk.version().number(), "Tove");
      assertThat(kg()).isEqualTo(isTaken ? 33.0 : 172.0);
      assertThat(door.offer(log)).as("said once").isEmpty();
    }
  }

  private Unloaded outOf(String id) {
    return new Unloaded(
        id + "-out", now, "Maren", Optional.empty(), List.of(), OptionalDouble.empty(), "");
  }

  @Test
  void twoPhonesThatAnswerTheSameAtOnce_areBothAnswered_andItIsDoneOnce() {
    byHand(20.0);
    door.add("trip-1", right(14.0));
    TripLog log = door.add("trip-1", out()).orElseThrow();
    TankOffer offer = door.offer(log).orElseThrow();
    Busy busy = new Busy(() -> door.settle(log, offer.entry(), true, offer.version(), "Maren"));

    door(busy).settle(log, offer.entry(), true, offer.version(), "Tove");

    assertThat(kg()).isZero();
    assertThat(desk.version().by()).isEqualTo("Maren");
    assertThatThrownBy(() -> door.settle(log, offer.entry(), false, offer.version(), "Wren"))
        .isInstanceOf(RefusedEntryException.class)
        .hasMessageContaining(
            "the record of Trailer tank was changed by the trip. It says no fish now.");
  }

  @Test
  void answerOnAFarmThatIsAnotherByNow_isRefused() {
    byHand(20.0);
    door.add("trip-1", right(14.0));
    TripLog log = door.add("trip-1", out()).orElseThrow();
    TankOffer offer = door.offer(log).orElseThrow();

    assertThatThrownBy(
            () ->
                door(new Busy(() -> byHand(25.0)))
                    .settle(log, offer.entry(), true, offer.version(), "Tove"))
        .isInstanceOf(RefusedActException.class)
        .hasMessageContaining("Tove has changed the farm meanwhile");
    assertThat(kg()).isEqualTo(25.0);
  }

  @Test
  void whatStandsAfterAnotherAnswer_isSaidByKgSpeciesAndNumber() {
    Instant since = Instant.parse("2026-03-14T09:00:00Z");
    byHand(20.0);
    door.add("trip-1", right(14.0));
    TripLog log = door.add("trip-1", out()).orElseThrow();
    TankOffer offer = door.offer(log).orElseThrow();
    door.settle(log, offer.entry(), false, offer.version(), "Maren");
    Tank tank = desk.farm().tank("t1").orElseThrow();
    Tank.Load held = new Tank.Load(Species.TENCH, 7.0, OptionalInt.of(9), Optional.of(since));
    var unused =
        desk.change(
            OptionalLong.empty(),
            "Tove",
            f -> new Farm(f.name(), f.altitudeM(), List.of(tank.withLoads(List.of(held)))));

    assertThatThrownBy(() -> door.settle(log, offer.entry(), true, desk.version().number(), "Tove"))
        .hasMessageContaining("It says 7 kg of tench (9 fish) now.");
  }
}
