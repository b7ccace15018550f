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
}
