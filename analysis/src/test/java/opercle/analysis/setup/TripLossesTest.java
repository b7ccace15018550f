// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.setup;

import static opercle.analysis.trip.MadeTrip.START;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.UUID;
import opercle.analysis.book.TripRecords;
import opercle.analysis.records.Recorded.Correction;
import opercle.analysis.stock.Species;
import opercle.analysis.trip.MadeTrip;
import opercle.analysis.trip.RefusedEntryException;
import opercle.analysis.trip.TripEntry.Loaded;
import opercle.analysis.trip.TripEntry.Unloaded;
import opercle.analysis.trip.TripEntry.Withdrawn;
import opercle.analysis.trip.TripLog;
import opercle.analysis.tripfile.TripFile;
import org.junit.jupiter.api.Test;

/** What did not live on a trip, on the movement that it went under. */
class TripLossesTest extends AtTheTripDoor {

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
