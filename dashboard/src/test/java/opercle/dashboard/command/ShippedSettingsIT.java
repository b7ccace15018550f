// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
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

  /** Prepared for one jar, it starts from what was written down; for another it says so. */
  @Test
  void prepare_writesDownWhatWasLoaded_forThisJarAlone() throws Exception {
    Path jar =
        Files.copy(Path.of(System.getProperty("opercle.jar")), folder.resolve("opercle.jar"));
    Path classes = folder.resolve("opercle.jsa");

    assertThat(launcher("--prepare")).isEmpty();
    assertThat(classes).isNotEmptyFile();
    assertThat(folder.resolve("opercle.jsa.log")).doesNotExist();
    assertThat(launcher("water", "--temperature", "10")).contains("11.288 mg/L");

    Files.setLastModifiedTime(jar, FileTime.fromMillis(0));
    assertThat(launcher("water", "--temperature", "10"))
        .contains("run it with --prepare again", "11.288 mg/L");
  }

  /** What it says, both ways. */
  private String launcher(String... words) throws Exception {
    List<String> command = new ArrayList<>(List.of(Path.of("dist/opercle").toString()));
    command.addAll(List.of(words));
    ProcessBuilder builder = new ProcessBuilder(command).redirectErrorStream(true);
    builder.environment().put("OPERCLE_JAR", folder.resolve("opercle.jar").toString());
    builder.environment().put("OPERCLE_PREPARE_SECONDS", "8");
    Process process = builder.start();
    String said = new String(process.getInputStream().readAllBytes(), UTF_8);
    assertThat(process.waitFor()).as(said).isZero();
    return said;
  }

  @Test
  void unitInTheDocument_isTheOneThatIsShipped() throws Exception {
    assertThat(Files.readString(Path.of("../docs/operations.md")))
        .contains("```ini\n" + Files.readString(Path.of("dist/opercle.service")) + "```");
  }
}
