// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import org.junit.jupiter.api.Assumptions;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The launcher and the unit that are shipped; {@link IdleMain} measures for longer. */
class ShippedSettingsIT {

  @TempDir Path folder;

  @Test
  void idleFarm_fitsIntoASmallBox() throws Exception {
    Assumptions.assumeTrue(Files.exists(Path.of("/proc/self/status")), "needs Linux to measure");
    IdleMain.Figures figures =
        IdleMain.measured(folder, Duration.ofSeconds(15), Duration.ofSeconds(10));

    System.out.println(figures);
    assertThat(figures.residentBytes()).isLessThan(200_000_000L);
    // By the work, as what else a machine does decides the time; 1.6 s where it was prepared.
    assertThat(figures.worked()).isLessThan(Duration.ofSeconds(12));
    assertThat(figures.shareOfACore()).isLessThan(0.2); // it has only just begun
  }

  @Test
  void unitInTheDocument_isTheOneThatIsShipped() throws Exception {
    assertThat(Files.readString(Path.of("../docs/operations.md")))
        .contains("```ini\n" + Files.readString(Path.of("dist/opercle.service")) + "```");
  }
}
