// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.farm;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import opercle.analysis.farm.Tank.Load;
import opercle.analysis.stock.Species;
import org.junit.jupiter.api.Test;

class StockingTest {

  private static final Instant MONDAY = Instant.parse("2026-03-02T17:00:00Z");
  private static final Instant FRIDAY = Instant.parse("2026-03-06T17:00:00Z");

  private static Load tench(double kg, int count, Instant since) {
    return new Load(Species.TENCH, kg, OptionalInt.of(count), Optional.of(since));
  }

  @Test
  void with_sameSpecies_joinsTheOthers_heldSinceTheFirst() {
    assertThat(Stocking.with(List.of(tench(55, 70, MONDAY)), tench(11, 14, FRIDAY)))
        .containsExactly(tench(66, 84, MONDAY));
  }

  @Test
  void with_uncounted_isNoLongerCounted() {
    Load uncounted = new Load(Species.TENCH, 11, OptionalInt.empty(), Optional.empty());

    assertThat(Stocking.with(List.of(tench(55, 70, MONDAY)), uncounted))
        .containsExactly(new Load(Species.TENCH, 66, OptionalInt.empty(), Optional.of(MONDAY)));
  }

  @Test
  void with_otherSpecies_standsBeside() {
    Load roach = new Load(Species.ROACH, 5, OptionalInt.of(40), Optional.of(FRIDAY));

    assertThat(Stocking.with(List.of(tench(55, 70, MONDAY)), roach))
        .containsExactly(tench(55, 70, MONDAY), roach);
  }

  @Test
  void tank_whoseSpeciesIsGivenTwice_holdsThemTogether() {
    Load roach = new Load(Species.ROACH, 5, OptionalInt.of(40), Optional.of(FRIDAY));

    assertThat(Stocking.joined(List.of(tench(11, 14, FRIDAY), roach, tench(55, 70, MONDAY))))
        .containsExactly(tench(66, 84, MONDAY), roach);
  }

  @Test
  void without_uncounted_takesFishOfTheUsualSize() {
    assertThat(
            Stocking.without(
                List.of(tench(55, 70, MONDAY)), Species.TENCH, 11, OptionalInt.empty()))
        .containsExactly(tench(44, 56, MONDAY));
  }

  @Test
  void without_counted_leavesTheOthers() {
    assertThat(
            Stocking.without(List.of(tench(55, 70, MONDAY)), Species.TENCH, 11, OptionalInt.of(5)))
        .containsExactly(tench(44, 65, MONDAY));
  }

  @Test
  void without_all_leavesNoneOfThem() {
    assertThat(
            Stocking.without(
                List.of(tench(55, 70, MONDAY)), Species.TENCH, 55, OptionalInt.empty()))
        .isEmpty();
  }

  private static Load carp(double kg, OptionalInt count) {
    return new Load(Species.COMMON_CARP, kg, count, Optional.empty());
  }

  /** Small carp: as 40 kg of the usual size they would be said to need little more than half. */
  @Test
  void joined_uncounted_areAsHeavyAsTheCounted_whicheverStandsFirst() {
    Load counted = carp(20, OptionalInt.of(2000));
    Load uncounted = carp(20, OptionalInt.empty());

    for (List<Load> twice : List.of(List.of(counted, uncounted), List.of(uncounted, counted))) {
      assertThat(Stocking.joined(twice)).containsExactly(carp(40, OptionalInt.of(4000)));
    }
    assertThat(
            Stocking.joined(List.of(uncounted, uncounted, counted, carp(0, OptionalInt.empty()))))
        .containsExactly(carp(60, OptionalInt.of(6000)));
    assertThat(Stocking.joined(List.of(uncounted, uncounted)))
        .containsExactly(carp(40, OptionalInt.empty()));
  }

  @Test
  void joined_uncounted_areNoHeavierThanIsUsual_andNoneFailsToBeCounted() {
    double usualKg = Species.COMMON_CARP.usualMassKg();
    assertThat(
            Stocking.joined(
                List.of(
                    carp(200 * usualKg, OptionalInt.of(20)),
                    carp(30 * usualKg, OptionalInt.empty()))))
        .containsExactly(carp(230 * usualKg, OptionalInt.of(50)));
    assertThat(
            Stocking.joined(
                List.of(carp(0, OptionalInt.of(5)), carp(30 * usualKg, OptionalInt.empty()))))
        .containsExactly(carp(30 * usualKg, OptionalInt.of(35)));
    assertThat(
            Stocking.joined(
                List.of(carp(1e-9, OptionalInt.of(9)), carp(90_000, OptionalInt.empty()))))
        .hasSize(1);
  }
}
