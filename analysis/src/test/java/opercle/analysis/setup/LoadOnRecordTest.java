// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.setup;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;
import opercle.analysis.farm.Tank;
import opercle.analysis.records.Movement;
import opercle.analysis.stock.Species;
import org.junit.jupiter.api.Test;

class LoadOnRecordTest {

  private static final Instant LEAVES = Instant.parse("2026-03-14T08:00:00Z");

  private static Movement record(OptionalLong count, OptionalDouble kg) {
    return new Movement(
        "Common  Carp",
        count,
        kg,
        Optional.of("water-stew"),
        Optional.of("water-long"),
        LEAVES,
        LEAVES.plusSeconds(3600),
        OptionalLong.empty(),
        Movement.Means.NOT_SAID,
        Movement.Papers.NONE,
        Optional.empty(),
        Optional.empty(),
        Optional.empty());
  }

  private static Tank.Load load(Species species, double kg, int count) {
    return new Tank.Load(
        species, kg, count > 0 ? OptionalInt.of(count) : OptionalInt.empty(), Optional.empty());
  }

  @Test
  void loadThatTheRecordCovers_lacksNothing_norDoesAPartOfIt() {
    Movement record = record(OptionalLong.of(60), OptionalDouble.of(140.0));
    assertThat(LoadOnRecord.lacks(List.of(load(Species.COMMON_CARP, 140.0, 60)), List.of(record)))
        .isEmpty();
    assertThat(LoadOnRecord.lacks(List.of(load(Species.COMMON_CARP, 70.0, 30)), List.of(record)))
        .isEmpty();
    assertThat(LoadOnRecord.lacks(List.of(load(Species.COMMON_CARP, 150.0, 0)), List.of(record)))
        .isEmpty();
  }

  @Test
  void speciesThatTheRecordIsNotOf_isOnNone() {
    assertThat(
            LoadOnRecord.lacks(
                List.of(load(Species.COMMON_CARP, 50.0, 20), load(Species.TENCH, 20.0, 0)),
                List.of(record(OptionalLong.of(60), OptionalDouble.empty()))))
        .containsExactly(
            "The movement record is of common carp; the tench aboard are on none. Make one for them, and choose it beside this one.");
  }

  @Test
  void mixedLoad_isCoveredByARecordOfEachKind() {
    Movement tench =
        new Movement(
            "tench",
            OptionalLong.of(30),
            OptionalDouble.empty(),
            Optional.of("water-stew"),
            Optional.of("water-long"),
            LEAVES,
            LEAVES.plusSeconds(3600),
            OptionalLong.empty(),
            Movement.Means.NOT_SAID,
            Movement.Papers.NONE,
            Optional.empty(),
            Optional.empty(),
            Optional.empty());
    List<Movement> both = List.of(record(OptionalLong.of(60), OptionalDouble.empty()), tench);

    assertThat(
            LoadOnRecord.lacks(
                List.of(load(Species.COMMON_CARP, 50.0, 20), load(Species.TENCH, 20.0, 25)), both))
        .isEmpty();
    assertThat(
            LoadOnRecord.lacks(
                List.of(load(Species.COMMON_CARP, 50.0, 20), load(Species.TENCH, 20.0, 31)), both))
        .containsExactly("31 tench are aboard; the movement record says 30.");
    assertThat(LoadOnRecord.lacks(List.of(load(Species.ROACH, 20.0, 25)), both))
        .containsExactly(
            "The roach aboard are on none of the movement records. Make one for them, and choose it"
                + " beside these.");
  }

  @Test
  void moreThanTheRecordSays_isToldByNumber_elseByWeight() {
    assertThat(
            LoadOnRecord.lacks(
                List.of(load(Species.COMMON_CARP, 140.0, 60)),
                List.of(record(OptionalLong.of(50), OptionalDouble.of(100.0)))))
        .containsExactly("60 common carp are aboard; the movement record says 50.");
    assertThat(
            LoadOnRecord.lacks(
                List.of(load(Species.COMMON_CARP, 140.0, 0)),
                List.of(record(OptionalLong.of(50), OptionalDouble.of(100.0)))))
        .containsExactly("140 kg of common carp are aboard; the movement record says 100 kg.");
  }
}
