// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.setup;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.file.Path;
import java.time.Instant;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import opercle.analysis.alarm.RefusedActException;
import opercle.analysis.book.BookKind;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.FarmRecords;
import opercle.analysis.book.FarmVersion;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmReader;
import opercle.ingest.settings.UnusableInputException;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class FarmDeskTest {

  private static final InstantSource CLOCK =
      InstantSource.fixed(Instant.parse("2026-11-25T18:00:00Z"));

  @TempDir Path folder;
  private FarmBook book;

  BookKind kind() {
    return BookKind.SQLITE;
  }

  @BeforeEach
  void open() {
    book = FarmBook.open(kind().place(folder));
  }

  @AfterEach
  void close() {
    book.close();
  }

  private static Farm farm(int litres, int kg) {
    return FarmReader.parse(
        "farm.yaml",
        """
        farm: Sallowmere
        tanks:
          - id: h1
            name: Holding 1
            kind: holding
            waterLitres: %d
            supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }
            load: { species: tench, kg: %d }
        """
            .formatted(litres, kg));
  }

  private FarmDesk start(Farm file) {
    return FarmDesk.open(new FarmRecords(book), file, "farm.yaml", CLOCK);
  }

  @Test
  void change_isInForceAtOnce_andAfterAnotherStart() {
    FarmDesk desk = start(farm(1500, 55));
    List<FarmVersion> told = new ArrayList<>();
    desk.follow(told::add);

    FarmVersion changed = desk.change(OptionalLong.empty(), "Robin", f -> farm(1500, 30));

    assertThat(desk.farm()).isEqualTo(farm(1500, 30));
    assertThat(told).containsExactly(changed);
    assertThat(changed.by()).isEqualTo("Robin");
    assertThat(changed.what())
        .containsExactly("Holding 1: fish is 30 kg of tench, was 55 kg of tench.");
    assertThat(start(farm(1500, 55)).version()).isEqualTo(changed);
  }

  @Test
  void start_fileChangedByHand_makesAVersionOfWhatTheHandChanged() {
    start(farm(1500, 55)).change(OptionalLong.empty(), "Robin", f -> farm(1500, 30));

    FarmDesk again = start(farm(1400, 55));

    assertThat(again.farm()).isEqualTo(farm(1400, 30));
    assertThat(again.version().by()).isEqualTo("farm.yaml");
    assertThat(again.history(9)).hasSize(3);
    assertThat(start(farm(1400, 55)).history(9)).hasSize(3);
  }

  @Test
  void change_onAnOlderVersion_isRefused_andNothingIsDone() {
    FarmDesk desk = start(farm(1500, 55));
    long seen = desk.version().number();
    desk.change(OptionalLong.of(seen), "Robin", f -> farm(1500, 30));

    assertThatThrownBy(() -> desk.change(OptionalLong.of(seen), "Wren", f -> farm(1500, 40)))
        .isInstanceOf(RefusedActException.class)
        .hasMessageContaining("Robin has changed the farm meanwhile");
    assertThat(desk.farm()).isEqualTo(farm(1500, 30));
  }

  @Test
  void change_toWhatNoFarmCanBe_isRefusedWithFieldValueLimitAndUnit() {
    FarmDesk desk = start(farm(1500, 55));

    assertThatThrownBy(
            () ->
                desk.change(
                    OptionalLong.empty(), "Robin", f -> new Farm(f.name(), 9000, f.tanks())))
        .isInstanceOf(UnusableInputException.class)
        .hasMessageContaining("altitudeM: 9000 m is outside -400 to 5000 m");
    assertThat(desk.farm()).isEqualTo(farm(1500, 55));
  }

  @Test
  void tankThatCannotBeWatchedHere_isNotTakenIn_andThoseThatAreThereCanBeChanged() {
    Farm both = FarmReader.parse("farm.yaml", TWO);
    Farm one = new Farm(both.name(), both.altitudeM(), both.tanks().subList(0, 1));
    String added = both.tanks().get(1).id();
    FarmDesk desk = start(one);
    desk.takeIn(tank -> Optional.of("Nobody would hear tank '%s'.".formatted(tank)));

    assertThatThrownBy(() -> desk.change(OptionalLong.empty(), "Robin", f -> both))
        .isInstanceOf(RefusedActException.class)
        .hasMessage("Nobody would hear tank '%s'.", added);
    assertThat(desk.farm()).isEqualTo(one);
    Farm higher = new Farm(one.name(), 99, one.tanks());
    assertThat(desk.change(OptionalLong.empty(), "Robin", f -> higher).farm()).isEqualTo(higher);
  }

  @Test
  void change_toTheSame_makesNoVersion() {
    FarmDesk desk = start(farm(1500, 55));

    assertThat(desk.change(OptionalLong.empty(), "Robin", f -> f).number()).isEqualTo(1);
  }

  /**
   * The page took out one tank and a hand the other: a farm without tanks could not be read again.
   */
  @Test
  void fileAndPages_thatTogetherMakeNoFarm_leaveWhatWasInForce() {
    Farm both = FarmReader.parse("farm.yaml", TWO);
    FarmDesk desk = start(both);
    desk.change(
        OptionalLong.empty(),
        "Maren",
        before -> new Farm(before.name(), before.altitudeM(), before.tanks().subList(1, 2)));

    FarmDesk again = start(new Farm(both.name(), both.altitudeM(), both.tanks().subList(0, 1)));

    assertThat(again.farm().tankIds()).containsExactly("h2");
    assertThat(start(new Farm(both.name(), both.altitudeM(), both.tanks().subList(0, 1))).farm())
        .isEqualTo(again.farm());
  }

  private static final String TWO =
      """
      farm: Sallowmere
      tanks:
        - { id: h1, name: Holding 1, kind: holding, waterLitres: 1500, supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 } }
        - { id: h2, name: Holding 2, kind: holding, waterLitres: 1500, supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 } }
      """;

  @Test
  void putIn_atATimeThatNoneCanBe_isRefusedInWords_andNothingIsDone() {
    FarmDesk desk = start(farm(1500, 55));
    for (String time :
        List.of("+100000000-01-01T00:00:00Z", "-5000-01-01T00:00:00Z", "2026-11-25T18:30:00Z")) {
      FarmDoor.PutIn fish = new FarmDoor.PutIn("h1", Instant.parse(time));
      assertThatThrownBy(() -> desk.putIn(OptionalLong.empty(), "Robin", f -> farm(1500, 60), fish))
          .isInstanceOf(RefusedActException.class)
          .hasMessageContaining("it must be a time since 1970 that is not to come");
    }
    assertThat(desk.farm()).isEqualTo(farm(1500, 55));
  }

  /** The pages may be on a machine whose clock is a little ahead; it is now then. */
  @Test
  void putIn_aLittleAhead_isNow() {
    FarmDesk desk = start(farm(1500, 55));
    FarmDoor.PutIn fish = new FarmDoor.PutIn("h1", CLOCK.instant().plusSeconds(20));

    long version = desk.putIn(OptionalLong.empty(), "Robin", f -> farm(1500, 60), fish).number();

    assertThat(new FarmRecords(book).putIn("h1"))
        .containsExactly(Map.entry(version, CLOCK.instant()));
  }
}
