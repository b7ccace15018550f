// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalLong;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.FarmRecords;
import opercle.analysis.book.RecordBook;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.analysis.holding.TankWork;
import opercle.analysis.records.TankEntry;
import opercle.analysis.setup.FarmDesk;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class FarmHoldingTest {

  private static final Instant NOW = Instant.parse("2026-03-14T02:00:00Z");

  @TempDir Path folder;

  @Test
  void tankThatIsAddedWhileItRuns_isJudgedAtOnce_byWhatIsWrittenDownOfIt() {
    try (FarmBook book = FarmBook.open(FarmBook.fileIn(folder))) {
      FarmDesk desk =
          FarmDesk.open(
              new FarmRecords(book),
              new Farm("Sallowmere", 40, List.of(tank("h1"))),
              "farm.yaml",
              () -> NOW);
      RecordBook records = new RecordBook(book, "Sallowmere");
      var unused =
          records.keep(
              "test-0001",
              "Maren",
              NOW,
              Optional.empty(),
              new TankEntry.WaterTest(
                  new TankEntry.Where("h9", Optional.empty(), NOW.minusSeconds(600)),
                  OptionalDouble.of(2.5),
                  OptionalDouble.of(7.4),
                  OptionalDouble.empty(),
                  OptionalDouble.empty(),
                  OptionalDouble.empty(),
                  OptionalDouble.empty(),
                  Optional.empty()));
      List<Map<String, TankWork>> told = new ArrayList<>();
      FarmHolding.follow(desk, book, told::add, () -> NOW);

      var changed =
          desk.change(
              OptionalLong.empty(),
              "Maren",
              farm -> new Farm(farm.name(), farm.altitudeM(), List.of(tank("h1"), tank("h9"))));

      assertThat(changed.farm().tanks()).hasSize(2);
      assertThat(told).hasSize(1);
      assertThat(told.get(0)).containsOnlyKeys("h1", "h9");
      assertThat(told.get(0)).containsEntry("h9", TankWork.of(records.records(), "h9"));
      assertThat(told.get(0)).doesNotContainEntry("h1", TankWork.of(records.records(), "h9"));
    }
  }

  private static Tank tank(String id) {
    return new Tank(
        id,
        id,
        Tank.Kind.HOLDING,
        1500,
        0.8,
        new Tank.Supply(
            Tank.Gas.AIR, Tank.Source.BLOWER, Tank.Diffuser.POROUS_HOSE, 45, Optional.empty()),
        List.of(),
        Optional.empty());
  }
}
