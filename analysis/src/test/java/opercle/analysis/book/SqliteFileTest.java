// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Statement;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What is so of a book in a file alone. */
class SqliteFileTest {

  @TempDir Path folder;

  @Test
  void open_newFile_isWrittenAheadAndFullySynchronised() {
    try (FarmBook book = FarmBook.open(folder.resolve("new/folder/book.db"))) {
      String[] how =
          book.write(
              "be asked",
              c -> {
                try (Statement s = c.createStatement()) {
                  return new String[] {
                    s.executeQuery("PRAGMA journal_mode").getString(1),
                    s.executeQuery("PRAGMA synchronous").getString(1)
                  };
                }
              });
      assertThat(how).containsExactly("wal", "2");
    }
  }

  @Test
  void open_whatIsNoBook_saysSo() throws IOException {
    Path file =
        Files.writeString(folder.resolve("book.db"), "not a database, but long enough ".repeat(40));
    assertThatThrownBy(() -> FarmBook.open(file))
        .isInstanceOf(BookException.class)
        .hasMessageContaining("book.db");
  }
}
