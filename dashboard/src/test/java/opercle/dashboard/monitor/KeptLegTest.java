// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.monitor;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import opercle.analysis.farm.FarmReader;
import opercle.analysis.memory.WatchMemory;
import opercle.analysis.monitor.TroubleKey;
import opercle.analysis.monitor.TroubleKind;
import opercle.analysis.publish.WatchService;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A damaged file of the last run is told to people, and not by the log alone. */
class KeptLegTest {

  private static final Instant START = Instant.parse("2026-03-14T02:00:00Z");
  private static final TroubleKey LEARNED = TroubleKey.of(TroubleKind.MEMORY_DAMAGED, "learned");
  private static final TroubleKey ALARMS = TroubleKey.of(TroubleKind.MEMORY_DAMAGED, "alarms");

  @TempDir Path folder;

  private WatchService watch() throws IOException {
    return WatchService.resume(
        FarmReader.parse(
            "farm.yaml",
            """
            farm: Sallowmere
            tanks:
              - id: h1
                kind: holding
                waterLitres: 1500
                supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }
            """),
        () -> START,
        WatchMemory.in(folder),
        Optional.empty(),
        List.of());
  }

  @Test
  void damagedMemoryOfTheWatch_isTold_andNothingWhereItIsWhole() throws IOException {
    watch().close();
    try (WatchService whole = watch()) {
      assertThat(KeptLeg.of(whole::damages).look(0)).isEmpty();
    }
    Files.writeString(folder.resolve("watch-learned.json"), "{");
    Files.writeString(folder.resolve("watch-alarms.json"), "");

    try (WatchService watch = watch()) {
      Map<TroubleKey, String> found = KeptLeg.of(watch::damages).look(0);
      assertThat(found).containsOnlyKeys(LEARNED, ALARMS);
      assertThat(found.values()).allMatch(w -> w.contains("could not be read"));
      assertThat(found.get(ALARMS)).contains("who had one, and what was put aside, is not known");
    }
    try (WatchService next = watch()) {
      assertThat(KeptLeg.of(next::damages).look(0)).as("it was written well").isEmpty();
    }
  }

  @Test
  void fileThatIsWrittenWellAgain_isToldAtTheFirstLookAllTheSame_andThenNoMore() {
    KeptLeg mended = new KeptLeg(() -> List.of(new KeptLeg.Damage("x", "It was damaged.", true)));
    assertThat(mended.look(0)).hasSize(1);
    assertThat(mended.look(1)).isEmpty();

    KeptLeg open = new KeptLeg(() -> List.of(new KeptLeg.Damage("x", "It was damaged.", false)));
    assertThat(open.look(0)).hasSize(1);
    assertThat(open.look(1)).hasSize(1);
  }
}
