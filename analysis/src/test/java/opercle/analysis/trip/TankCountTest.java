// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import net.jqwik.api.Arbitraries;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.Provide;
import opercle.analysis.farm.Stocking;
import opercle.analysis.farm.Tank;
import opercle.analysis.stock.Species;
import org.junit.jupiter.api.Test;

/**
 * The number of fish in a tank whose trip's number is put right; 140 kg, truly 60. A number that is
 * too small makes the fish too heavy, and the time in hand too long.
 */
class TankCountTest {

  private static final Species CARP = Species.COMMON_CARP;

  private static List<Tank.Load> carp(double kg, int count) {
    return List.of(new Tank.Load(CARP, kg, OptionalInt.of(count), Optional.empty()));
  }

  private static Yard yard(int inTank, int onTrip) {
    return new Yard(140.0, carp(140.0, inTank), carp(140.0, onTrip));
  }

  private static int count(Yard yard) {
    return Stocking.count(yard.record(), CARP).orElseThrow();
  }

  private static void byHand(Yard yard, List<Tank.Load> after) {
    yard.step(after, Optional.empty());
  }

  /** Some of them go out by weight, and so do as many of the number. */
  private static void off(Yard yard, double kg) {
    byHand(yard, Stocking.without(yard.record(), CARP, kg, OptionalInt.empty()));
  }

  @Test
  void numberPutRightInTheLoading_andAtTheTank_inEitherOrder_isCountedOnce() {
    Yard tankFirst = yard(600, 600);
    byHand(tankFirst, carp(140.0, 60));
    tankFirst.loadingIs(carp(140.0, 60));
    assertThat(count(tankFirst)).isEqualTo(60);

    Yard loadingFirst = yard(600, 600);
    loadingFirst.loadingIs(carp(140.0, 60));
    assertThat(count(loadingFirst)).isEqualTo(60);

    Yard fewer = yard(6, 6);
    byHand(fewer, carp(140.0, 60));
    fewer.loadingIs(carp(140.0, 60));
    assertThat(count(fewer)).isEqualTo(60);
  }

  @Test
  void numberPutRight_whereSomeWentOutOnTheWay_isThatOfTheOthers() {
    Yard yard = yard(600, 600);
    off(yard, 20.0);
    assertThat(count(yard)).isEqualTo(514);
    yard.loadingIs(carp(140.0, 60));

    assertThat(count(yard)).isEqualTo(51); // 60 × 120/140
  }

  @Test
  void numberPutRight_whereTheyAreOutAlready_isNotThatOfFishThatCameSince() {
    Yard yard = yard(600, 600);
    off(yard, 140.0);
    byHand(yard, carp(90.0, 40));
    yard.loadingIs(carp(140.0, 60));

    assertThat(count(yard)).isEqualTo(40);
  }

  @Test
  void weightAndNumberPutRight_whereTheTankHadTheNumber_keepIt() {
    Yard yard = yard(60, 600);
    yard.loadingIs(carp(100.0, 60));

    assertThat(yard.record()).isEqualTo(carp(100.0, 60));
  }

  @Test
  void moreCountedOutThanTheTankHas_leavesTheOthersTheirShare() {
    Yard yard = new Yard(140.0, carp(168.0, 72), carp(140.0, 600));
    yard.unload();

    assertThat(yard.record()).isEqualTo(carp(28.0, 12));
  }

  @Provide
  Arbitrary<List<String>> deeds() {
    return Arbitraries.of("put the tank right", "put the loading right", "others", "off")
        .list()
        .uniqueElements()
        .ofMinSize(1);
  }

  @Property(tries = 500)
  void inAnyOrder_thereAreNotFewerThanThereAre(
      @ForAll("deeds") List<String> deeds, @ForAll boolean isInTheTankToo, @ForAll boolean isMany) {
    int wrong = isMany ? 600 : 6;
    Yard yard = yard(isInTheTankToo ? wrong : 60, wrong);
    double truth = 60.0;
    boolean isTankRight = !isInTheTankToo;
    for (String deed : deeds) {
      double kg = yard.recordKg();
      switch (deed) {
        case "put the tank right" -> {
          isTankRight = true;
          byHand(yard, carp(kg, (int) Math.round(truth)));
        }
        case "put the loading right" -> {
          isTankRight = true;
          yard.loadingIs(carp(140.0, 60));
        }
        case "others" -> {
          truth += 10.0;
          Tank.Load others = new Tank.Load(CARP, 23.0, OptionalInt.of(10), Optional.empty());
          byHand(yard, Stocking.with(yard.record(), others));
        }
        default -> {
          truth *= (kg - 20.0) / kg;
          off(yard, 20.0);
        }
      }
      if (isTankRight) {
        assertThat(count(yard)).isGreaterThanOrEqualTo((int) truth - 3);
      }
    }
  }
}
