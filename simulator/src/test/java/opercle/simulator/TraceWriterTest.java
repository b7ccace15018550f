// SPDX-License-Identifier: Apache-2.0
package opercle.simulator;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.StringWriter;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class TraceWriterTest {

  private static final Instant START = Instant.parse("2026-03-14T20:00:00Z");

  private static SimulatedFarm farm() {
    return new SimulatedFarm(Sallowmere.farm(), Scenario.named("gas-line-stops"), 2L, START);
  }

  @Test
  void trace_hasHeaderAndOneRowForEachReading(@TempDir Path folder) throws Exception {
    Path file = folder.resolve("night.csv");

    long rows = TraceWriter.write(farm(), Duration.ofMinutes(12), file);

    List<String> lines = Files.readAllLines(file);
    assertThat(lines).hasSize((int) rows + 1);
    assertThat(lines.get(0)).isEqualTo("time,tank,quantity,value,probe");
    assertThat(lines.subList(1, lines.size()))
        .allMatch(l -> l.matches("2026-03-14T20:[0-9:.]+Z,[ht]\\d,[a-z-]+,[0-9.]+,[12]"));
    assertThat(rows).isEqualTo(farm().advance(START.plus(Duration.ofMinutes(12))).size());
  }

  @Test
  void trace_toAWriter_isTheSame() throws Exception {
    StringWriter one = new StringWriter();
    StringWriter two = new StringWriter();

    TraceWriter.write(farm(), Duration.ofMinutes(7), one);
    TraceWriter.write(farm(), Duration.ofMinutes(7), two);

    assertThat(one.toString()).isEqualTo(two.toString());
  }

  @Test
  void trace_folderThatIsNotThere_saysWhichFile(@TempDir Path folder) {
    Path file = folder.resolve("missing").resolve("night.csv");

    assertThatThrownBy(() -> TraceWriter.write(farm(), Duration.ofMinutes(1), file))
        .isInstanceOf(UncheckedIOException.class)
        .hasMessageContaining(file.toString());
  }
}
