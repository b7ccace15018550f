// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import static opercle.analysis.trip.MadeTrip.START;
import static opercle.analysis.trip.MadeTrip.check;
import static opercle.analysis.trip.MadeTrip.loaded;
import static opercle.analysis.trip.MadeTrip.trailer;
import static opercle.analysis.trip.MadeTrip.unloaded;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.ZoneId;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import opercle.analysis.stock.Fish;
import opercle.analysis.stock.Species;
import opercle.analysis.trip.TripEntry.StopCheck;
import opercle.analysis.trip.TripEntry.Unloaded;
import opercle.analysis.trip.TripEntry.Withdrawn;
import org.junit.jupiter.api.Test;

class TripLogTest {

  private final TripLog begun = TripLog.of(loaded(trailer("trip-1")));

  private static StopCheck correction(String id, String of, Fish fish) {
    return new StopCheck(
        id,
        START.plusSeconds(1800),
        "Maren",
        Optional.of(of),
        fish,
        OptionalDouble.empty(),
        OptionalDouble.empty(),
        OptionalDouble.empty(),
        "typed the wrong one");
  }

  @Test
  void correction_holds_andWhatItCorrectsStays() {
    TripLog log =
        begun
            .with(check("c1", 30, Fish.GASPING, 8.0))
            .with(correction("c2", "c1", Fish.RESTLESS))
            .with(correction("c3", "c2", Fish.LOW_AND_QUIET));

    assertThat(log.checks()).extracting(StopCheck::fish).containsExactly(Fish.LOW_AND_QUIET);
    assertThat(log.replaced()).extracting(TripEntry::id).containsExactly("c1", "c2");
    assertThat(log.entries()).hasSize(4);
  }

  @Test
  void twoCorrectionsOfTheSame_theLaterHolds() {
    TripLog log =
        begun
            .with(check("c1", 30, Fish.GASPING, 8.0))
            .with(correction("c2", "c1", Fish.RESTLESS))
            .with(correction("c3", "c1", Fish.LOW_AND_QUIET));

    assertThat(log.checks()).extracting(StopCheck::id).containsExactly("c3");
  }

  @Test
  void entrySentTwice_isOne() {
    TripLog once = begun.with(check("c1", 30, Fish.RESTLESS, 8.0));

    assertThat(once.with(check("c1", 30, Fish.RESTLESS, 8.0))).isSameAs(once);
    assertThatThrownBy(() -> once.with(check("c1", 30, Fish.GASPING, 8.0)))
        .isInstanceOf(RefusedEntryException.class)
        .hasMessageContaining("by the same form already");
  }

  @Test
  void whatDoesNotFit_isRefusedInWords() {
    TripLog out = begun.with(unloaded("u1", 90));

    assertThatThrownBy(() -> out.with(unloaded("u2", 95))).hasMessageContaining("are out already");
    assertThatThrownBy(() -> begun.with(check("c1", -5, Fish.RESTLESS, 8.0)))
        .hasMessageContaining("before the fish went in");
    assertThatThrownBy(() -> begun.with(unloaded("u1", 0))).hasMessageContaining("cannot go out");
    assertThatThrownBy(() -> begun.with(correction("c2", "nothing", Fish.RESTLESS)))
        .hasMessageContaining("is not of this trip");
    assertThatThrownBy(() -> out.with(correction("c2", "u1", Fish.RESTLESS)))
        .hasMessageContaining("same kind");
    assertThat(out.with(check("late", 95, Fish.LOW_AND_QUIET, 9.0)).checks()).hasSize(1);
  }

  @Test
  void sentences_showNeitherIdsNorRawTimes_andGoByTheFarmsClock() {
    assertThatThrownBy(() -> begun.with(check("c1", -5, Fish.RESTLESS, 8.0)))
        .isInstanceOfSatisfying(
            RefusedEntryException.class,
            refused ->
                assertThat(refused.sentence(ZoneId.of("Europe/Berlin")))
                    .isEqualTo(
                        "The check would be at 14 Mar 2026, 09:55, before the fish went in at"
                            + " 14 Mar 2026, 10:00."))
        .hasMessageEndingWith("14 Mar 2026, 09:00. (Times in UTC.)");
    assertThatThrownBy(() -> begun.with(unloaded("u1", 9 * 24 * 60)))
        .hasMessageContaining("The fish went in at 14 Mar 2026, 09:00: 23 Mar 2026, 09:00 is more");
    assertThatThrownBy(() -> begun.with(correction("c2", "nothing", Fish.RESTLESS)))
        .hasMessageNotContaining("nothing");
  }

  @Test
  void withdrawnTrip_staysReadable_countsForNothing_andTakesNothingMore() {
    Withdrawn slip = new Withdrawn("w1", START.plusSeconds(600), "Maren", "wrong tank");
    TripLog log = begun.with(check("c1", 5, Fish.RESTLESS, 8.0)).with(slip);

    assertThat(log.withdrawn()).contains(slip);
    assertThat(log.isUnderWay()).isFalse();
    assertThat(log.entries()).hasSize(3);
    assertThat(log.checks()).hasSize(1);
    assertThat(log.to(START.plusSeconds(9000))).isEqualTo(slip.time());
    assertThat(log.with(slip)).as("the same form again").isSameAs(log);
    assertThatThrownBy(() -> log.with(unloaded("u1", 90)))
        .hasMessage("Maren withdrew this trip (wrong tank). Nothing more can be written of it.");
    TripTrace trace = MadeTrip.trace(10, List.of());
    assertThat(PastDemand.of(Review.of(log, trace, List.of()))).isEmpty();
  }

  @Test
  void moreLostThanWentIn_isRefusedInWords() {
    TripLog log = TripLog.of(MadeTrip.loaded(MadeTrip.trailer("t")));

    log.with(lost(Species.COMMON_CARP, 60)).requireLossesOfTheLoad();
    TripLog tooMany = log.with(lost(Species.COMMON_CARP, 61));
    assertThatThrownBy(tooMany::requireLossesOfTheLoad)
        .hasMessageContaining("cannot be lost: 60 went in");
    TripLog others = log.with(lost(Species.TENCH, 1));
    assertThatThrownBy(others::requireLossesOfTheLoad).hasMessageContaining("none can be lost");
  }

  private static TripEntry.Unloaded lost(Species species, int count) {
    TripEntry.Unloaded out = MadeTrip.unloaded("out", 60);
    return new TripEntry.Unloaded(
        out.id(),
        out.time(),
        out.by(),
        out.corrects(),
        List.of(new TripEntry.Loss(species, OptionalInt.of(count), OptionalDouble.empty())),
        out.cylinderBar(),
        "");
  }

  @Test
  void trip_goesOnUntilTheFishAreOut() {
    assertThat(begun.to(START.plusSeconds(60))).isEqualTo(START.plusSeconds(60));
    assertThat(begun.with(unloaded("u1", 90)).unloaded().map(Unloaded::id)).contains("u1");
    assertThat(begun.with(unloaded("u1", 90)).to(START)).isEqualTo(START.plusSeconds(5400));
  }
}
