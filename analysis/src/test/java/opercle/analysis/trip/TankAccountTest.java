// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import static opercle.analysis.trip.MadeTrip.START;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.Set;
import java.util.stream.Stream;
import net.jqwik.api.Arbitraries;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.Provide;
import opercle.analysis.farm.Stocking;
import opercle.analysis.farm.Tank;
import opercle.analysis.stock.Species;
import opercle.analysis.trip.TankAccount.Step;
import opercle.analysis.trip.TripEntry.Loaded;
import opercle.analysis.trip.TripEntry.Unloaded;
import opercle.analysis.trip.TripEntry.Withdrawn;
import org.junit.jupiter.api.Test;

class TankAccountTest {

  private static final Species CARP = Species.COMMON_CARP;

  /**
   * What may be done, in any order, as letters; the figures are of another kind than the mistake.
   */
  @Provide
  Arbitrary<List<String>> deeds() {
    return Arbitraries.of(
            "put the tank right",
            "put the loading right",
            "others",
            "take out",
            "take nearly all",
            "empty",
            "look")
        .list()
        .ofMaxSize(7);
  }

  /**
   * Mistakes are odd and moves of fish are even, so that no move looks like a mistake put right.
   */
  @Provide
  Arbitrary<Integer> mistakes() {
    return Arbitraries.integers().between(-60, 600).map(i -> 2 * i + 1);
  }

  private static void run(Yard yard, List<String> deeds, double mistake, boolean[] right) {
    int moved = 0;
    for (String deed : deeds) {
      switch (deed) {
        case "put the tank right" -> {
          if (!right[0] && yard.recordKg() - mistake >= 0.0) {
            right[0] = true;
            yard.byHand(-mistake);
          }
        }
        case "put the loading right" -> {
          if (!right[1]) {
            right[1] = true;
            boolean went = !right[0] && yard.log.isUnderWay();
            yard.loadingIs(140.0);
            right[0] |= went;
          }
        }
        case "others" -> yard.others(2.0 + 4.0 * ++moved);
        case "take out" -> yard.takeOut(2.0 + 2.0 * ++moved);
        case "take nearly all" -> yard.takeOut(138.0);
        case "empty" -> {
          yard.empty();
          right[0] = true; // nothing of the mistake is left in the tank
        }
        default -> yard.loadingIs(yard.log.trip().loadKg()); // something else in it was wrong
      }
      if (mistake > 0) { // no fish are written down as gone while they are aboard
        assertThat(yard.recordKg()).isGreaterThan(yard.aboardKg + yard.othersKg - 0.01);
      }
    }
  }

  /** Nothing appears or vanishes: in the end the record says what is really there. */
  @Property(tries = 2000)
  void mistake_putRightInAnyOrder_leavesNoFishThatAreNotThere_andTakesNoneThatAre(
      @ForAll("mistakes") int mistake,
      @ForAll boolean isInTheTankToo,
      @ForAll boolean othersBetween,
      @ForAll("deeds") List<String> onTheWay,
      @ForAll("deeds") List<String> afterwards) {
    Yard yard = new Yard(140.0, 140.0 + (isInTheTankToo ? mistake : 0), 140.0 + mistake);
    boolean[] right = {!isInTheTankToo, false};
    run(yard, onTheWay, mistake, right);
    boolean tankWasRight = right[0];
    yard.unload();
    if (othersBetween) {
      yard.others(24.5); // no figure of before, so it is nothing that was put back
    }
    if (!right[1]) {
      run(yard, List.of("put the loading right"), mistake, new boolean[] {tankWasRight, false});
    }
    for (String deed : afterwards) {
      switch (deed) {
        case "others" -> yard.others(24.0);
        case "empty" -> yard.empty();
        default -> {}
      }
    }

    assertThat(yard.recordKg()).isCloseTo(yard.othersKg, within(0.01));
    assertThat(yard.log.trip().loadKg()).isEqualTo(140.0);
  }

  /** Every change of the record is made by somebody's hand or by an entry, and they add up. */
  @Property(tries = 1000)
  void everyDifference_hasARecordThatSaysSo(
      @ForAll("mistakes") int mistake, @ForAll("deeds") List<String> onTheWay) {
    Yard yard = new Yard(140.0, 140.0 + mistake, 140.0 + mistake);
    run(yard, onTheWay, mistake, new boolean[2]);
    yard.unload();
    double before = 140.0 + mistake;
    Set<String> entries = new HashSet<>();
    yard.log.entries().forEach(e -> entries.add(e.id()));
    for (Step step : yard.steps) {
      assertThat(Stocking.kg(step.before(), CARP)).isCloseTo(before, within(1e-9));
      assertThat(step.entry().stream()).allMatch(entries::contains);
      before = Stocking.kg(step.after(), CARP);
      assertThat(before).isNotNegative();
    }
    assertThat(yard.recordKg()).isCloseTo(before, within(1e-9));
  }

  /** Withdrawn after the unloading, and said yes to: the fish are in it again, once. */
  @Property(tries = 1000)
  void withdrawnTrip_givesBackWhatItTook(
      @ForAll("mistakes") int mistake, @ForAll("deeds") List<String> onTheWay) {
    Yard yard = new Yard(140.0, 140.0 + mistake, 140.0 + mistake);
    boolean[] right = new boolean[2];
    run(yard, onTheWay, mistake, right);
    double aboard = yard.recordKg();
    yard.unload();
    yard.withdraw();

    assertThat(yard.recordKg()).isCloseTo(aboard, within(0.01));
    assertThat(yard.account(yard.log).settled()).as("once").isEqualTo(yard.record());
  }

  @Test
  void fishThatSomebodyPutBackByHand_areNotOfferedAgain() {
    Yard yard = new Yard(140.0, 140.0, 140.0);
    yard.unload();
    yard.byHand(140.0);
    yard.log = yard.log.with(new Withdrawn("w", START.plusSeconds(7200), "Maren", "another tank"));

    assertThat(yard.account(yard.log).settled()).isEqualTo(yard.record());
  }

  @Test
  void tripOfTheLorry_couldTakeItsFishOut_butNoneThatCameSince() {
    Yard still = new Yard(140.0, 140.0, 140.0);
    TripLog out =
        still.log.with(
            new Unloaded(
                "out",
                START.plusSeconds(3600),
                "Maren",
                Optional.empty(),
                List.of(),
                OptionalDouble.empty(),
                ""));
    assertThat(still.account(out).settled()).isEmpty();

    still.byHand(-140.0);
    still.byHand(90.0);
    assertThat(still.account(out).settled()).as("done by hand").isEqualTo(still.record());

    Yard never = new Yard(140.0, 0.0, 140.0);
    never.byHand(90.0);
    assertThat(never.account(out).settled()).as("not here").isEqualTo(never.record());
  }

  private static TripLog fromTheLorry(Yard yard, double rightKg) {
    Loaded in = yard.log.loaded();
    return yard.log
        .with(
            new Loaded(
                "in-9",
                START,
                "Tove",
                Optional.of(in.id()),
                in.trip().withLoad(Yard.load(rightKg))))
        .with(
            new Unloaded(
                "out",
                START.plusSeconds(3600),
                "Maren",
                Optional.empty(),
                List.of(),
                OptionalDouble.empty(),
                ""));
  }

  @Test
  void tripOfTheLorry_putRightThere_offersAwayNoFishThatTheRecordNeverHadOfIt() {
    for (double rightKg : new double[] {14.0, 130.0}) {
      Yard yard = new Yard(rightKg, 0.0, 140.0);
      yard.others(90.0);
      assertThat(yard.account(fromTheLorry(yard, rightKg)).settled()).isEqualTo(yard.record());
    }
    Yard known = new Yard(130.0, 130.0, 140.0);
    assertThat(known.account(fromTheLorry(known, 130.0)).settled()).as("all of it").isEmpty();
  }

  @Test
  void loadingPutRight_afterTheTripsFishWereTakenOutByHand_takesNoneOfThoseThatCameSince() {
    for (double rightKg : new double[] {14.0, 130.0}) {
      Yard yard = new Yard(140.0, 140.0, 140.0);
      yard.empty();
      yard.others(90.0);
      yard.loadingIs(rightKg);
      assertThat(yard.recordKg()).isEqualTo(90.0);
      yard.unload();
      assertThat(yard.recordKg()).isEqualTo(90.0);
      assertThat(yard.account(yard.log).settled()).as("asks nothing").isEqualTo(yard.record());
    }
  }

  @Test
  void loadingPutRightAfterTheUnloading_withOthersAboard_takesNoneOfThose() {
    for (double rightKg : new double[] {14.0, 130.0}) {
      Yard yard = new Yard(140.0, 140.0, 140.0);
      yard.empty();
      yard.others(90.0);
      yard.unload();
      yard.loadingIs(rightKg);
      assertThat(yard.recordKg()).isEqualTo(90.0);
    }
  }

  /** Either 120 kg went out, or they were never in: nobody can say which from the record. */
  @Test
  void moreOutThanIn_leavesTheFish_andAsksAtTheEnd() {
    Yard yard = new Yard(14.0, 140.0, 140.0);
    yard.byHand(-120.0);
    yard.loadingIs(14.0);
    assertThat(yard.recordKg()).as("the watch goes on").isEqualTo(20.0);

    yard.unload();
    assertThat(yard.recordKg()).isEqualTo(20.0);
    assertThat(yard.account(yard.log).settled()).as("asked").isEmpty();
  }

  @Test
  void tankThatSaidLessThanTheLoading_isNotEmptiedByItsCorrection() {
    Yard yard = new Yard(20.0, 100.0, 140.0);
    yard.loadingIs(20.0);
    assertThat(yard.recordKg()).isEqualTo(20.0);

    yard.unload();
    assertThat(yard.recordKg()).isZero();
  }

  @Test
  void whereNothingWasTaken_nothingGoesBack() {
    Yard yard = new Yard(140.0, 140.0, 140.0);
    yard.empty();
    yard.unload();
    yard.byHand(90.0); // the next load
    yard.byHand(-90.0);
    yard.loadingIs(150.0);

    assertThat(yard.recordKg()).isZero();
  }

  /** The tank says 14 kg, the trip by a slip 140; then 90 kg of others come aboard. */
  @Test
  void tripThatSaysMoreThanTheTankEverHad_takesNoOthers_andAsksAboutThem() {
    Yard yard = new Yard(14.0, 14.0, 140.0);
    yard.others(90.0);
    yard.unload();
    assertThat(yard.recordKg()).isEqualTo(90.0);
    assertThat(yard.account(yard.log).settled()).as("asked: they may be the trip's").isEmpty();

    yard.loadingIs(14.0);
    assertThat(yard.recordKg()).isEqualTo(90.0);
  }

  @Test
  void fishThatTheTankGotAfterTheTripWasBegun_areTheTripsOwn() {
    for (double atFirstKg : new double[] {0.0, 100.0}) {
      Yard yard = new Yard(140.0, atFirstKg, 140.0);
      yard.byHand(130.0 - atFirstKg);
      yard.byHand(10.0);
      yard.unload();
      assertThat(yard.recordKg()).isZero();
      assertThat(yard.account(yard.log).settled()).isEmpty();
    }
  }

  /** Of the carp more went out than went in by the correction; of the tench all is clear. */
  @Test
  void kindThatIsLeftOpen_isNotClosedByAnotherKindThatGoesAlong() {
    Yard yard = new Yard(0.0, mixed(140.0, 200.0), mixed(140.0, 200.0));
    yard.step(mixed(20.0, 200.0), Optional.empty());
    yard.loadingIs(mixed(14.0, 20.0));
    assertThat(yard.record()).as("the carp stay").isEqualTo(mixed(20.0, 20.0));

    yard.unload();
    assertThat(yard.record()).isEqualTo(mixed(20.0, 0.0));
    assertThat(yard.account(yard.log).settled()).as("asked").isEmpty();
  }

  private static List<Tank.Load> mixed(double carpKg, double tenchKg) {
    return Stream.of(
            new Tank.Load(CARP, carpKg, OptionalInt.empty(), Optional.empty()),
            new Tank.Load(Species.TENCH, tenchKg, OptionalInt.empty(), Optional.empty()))
        .filter(l -> l.kg() > 0.0)
        .toList();
  }

  @Test
  void kindThatIsGivenTwice_isJoined() {
    List<Tank.Load> twice =
        Stream.of(mixed(100.0, 5.0), mixed(40.0, 0.0)).flatMap(List::stream).toList();
    assertThat(MadeTrip.trailer("trip-1").withLoad(twice).load()).isEqualTo(mixed(140.0, 5.0));
  }

  @Test
  void countsGoAlongToo_andTheSpecies() {
    Yard yard = new Yard(140.0, 140.0, 140.0);
    Loaded wrong = yard.log.loaded();
    List<Tank.Load> tench =
        List.of(new Tank.Load(Species.TENCH, 140.0, OptionalInt.of(70), Optional.empty()));
    TripLog put =
        yard.log.with(
            new Loaded(
                "in-2", START, "Tove", Optional.of(wrong.id()), wrong.trip().withLoad(tench)));

    assertThat(yard.account(put).along(wrong)).isEqualTo(tench);
  }

  /** Nobody can say whether those that were put in are the trip's: they call, and it is asked. */
  @Test
  void recordThatHadNothing_andGotAboutTheTripsFigure_keepsThem_andAsks() {
    for (double kg : new double[] {130.0, 135.0, 139.0, 145.0}) {
      Yard yard = new Yard(140.0, 0.0, 140.0);
      yard.byHand(kg);
      yard.unload();
      assertThat(yard.recordKg()).isEqualTo(kg);
      assertThat(Stocking.kg(yard.account(yard.log).settled(), CARP))
          .as("asked")
          .isEqualTo(Math.max(0.0, kg - 140.0));
      yard.accept("yes");
      assertThat(yard.account(yard.log).settled()).as("once").isEqualTo(yard.record());
    }
  }

  /**
   * 20 kg of the trip go out, 60 kg of others come in: that it makes what it lacked says nothing.
   */
  @Test
  void whatIsPutIn_afterSomeWereTakenOut_isNotTakenForTheTripsOwn() {
    Yard yard = new Yard(140.0, 100.0, 140.0);
    yard.takeOut(20.0);
    yard.others(60.0);
    yard.unload();
    assertThat(yard.recordKg()).isEqualTo(60.0);
  }

  /**
   * By 30 kg the record got all that the loading says after it was put right, and 5 kg are gone.
   */
  @Test
  void loadingPutRight_afterTheRecordGotItsFish_addsThemNotAgain() {
    Yard yard = new Yard(120.0, 90.0, 100.0);
    yard.takeOut(5.0);
    yard.byHand(30.0);
    yard.loadingIs(120.0);
    assertThat(yard.recordKg()).isEqualTo(115.0);

    yard.unload();
    assertThat(yard.recordKg()).isZero();
  }
}
