// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.setup;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;
import opercle.analysis.alarm.RefusedActException;
import opercle.analysis.book.FarmRecords;
import opercle.analysis.farm.Tank;
import opercle.analysis.stock.Species;
import opercle.analysis.trip.MadeTrip;
import opercle.analysis.trip.RefusedEntryException;
import opercle.analysis.trip.TripEntry.Loaded;
import opercle.analysis.trip.TripEntry.Loss;
import opercle.analysis.trip.TripEntry.Unloaded;
import opercle.analysis.trip.TripEntry.Withdrawn;
import opercle.analysis.trip.TripLog;
import opercle.analysis.tripfile.TripFile;
import org.junit.jupiter.api.Test;

/** What a trip does to the fish of its tank. */
class TripDoorTest extends AtTheTripDoor {

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
}
