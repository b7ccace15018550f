// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class StoreOnceThereTest {

  private static final Reading READING =
      new Reading("h1", Quantity.OXYGEN, "1", Instant.parse("2026-03-14T02:00:00Z"), 8.5);

  @TempDir Path folder;

  @Test
  void storeThatIsMadeLater_isSaidToBeMissing_andReadFromThenOn() {
    Path file = folder.resolve("data/readings.db");
    try (ReadingStore pages = SqliteReadings.openReadOnlyOnceThere(file)) {
      assertThatThrownBy(pages::series)
          .isInstanceOf(StoreException.class)
          .hasMessageContaining("does not exist; start the ingest service first");

      try (SqliteReadings ingest = SqliteReadings.open(file)) {
        ingest.accept(List.of(READING));
        assertThat(pages.newest(READING.series())).contains(READING);
        assertThat(pages.series()).containsExactly(READING.series());
      }
    }
  }

  @Test
  void fileThatIsNoStore_isRefusedAtOnce() throws IOException {
    Path file = Files.writeString(folder.resolve("readings.db"), "no database\n".repeat(200));

    assertThatThrownBy(() -> SqliteReadings.openReadOnlyOnceThere(file))
        .isInstanceOf(StoreException.class);
  }
}
