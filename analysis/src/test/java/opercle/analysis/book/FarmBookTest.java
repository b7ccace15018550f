// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Instant;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class FarmBookTest {

  @TempDir Path folder;

  private static int gaps(Connection connection) throws SQLException {
    try (Statement statement = connection.createStatement();
        ResultSet row = statement.executeQuery("SELECT count(*) FROM alarm_gap")) {
      row.next();
      return row.getInt(1);
    }
  }

  private static int count(FarmBook book) {
    return book.read("be counted", FarmBookTest::gaps);
  }

  private static int addGap(Connection connection, String id) throws SQLException {
    try (Statement statement = connection.createStatement()) {
      return statement.executeUpdate(
          "INSERT INTO alarm_gap (id, farm, first_time, last_time, events) VALUES ('"
              + id
              + "', 'Sallowmere', 1, 2, 3)");
    }
  }

  @Test
  void open_newFile_hasTheTables_andIsWrittenAheadAndFullySynchronised() {
    try (FarmBook book = FarmBook.open(folder.resolve("new/folder/book.db"))) {
      assertThat(count(book)).isZero();
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
  void write_keepsWhatItWrote_overClosing() {
    Path file = folder.resolve("book.db");
    try (FarmBook book = FarmBook.open(file)) {
      var unused = book.write("add", c -> addGap(c, "a"));
    }
    try (FarmBook book = FarmBook.open(file)) {
      assertThat(count(book)).isEqualTo(1);
    }
  }

  @Test
  void write_failingHalfWay_leavesNoTrace_andTheNextOneWorks() {
    try (FarmBook book = FarmBook.open(folder.resolve("book.db"))) {
      assertThatThrownBy(
              () ->
                  book.write(
                      "add two",
                      c -> {
                        var unused = addGap(c, "a");
                        return addGap(c, "a");
                      }))
          .isInstanceOf(BookException.class)
          .hasMessageContainingAll("book.db", "could not add two");
      assertThatThrownBy(
              () ->
                  book.write(
                      "add one",
                      c -> {
                        var unused = addGap(c, "b");
                        throw new IllegalStateException("no");
                      }))
          .isInstanceOf(IllegalStateException.class);
      assertThatThrownBy(
              () ->
                  book.write(
                      "add one",
                      c -> {
                        var unused = addGap(c, "b");
                        throw new StackOverflowError("whatever it is");
                      }))
          .isInstanceOf(StackOverflowError.class);
      assertThat(count(book)).isZero();
      var unused = book.write("add", c -> addGap(c, "a"));
      assertThat(count(book)).isEqualTo(1);
    }
  }

  @Test
  void openReadOnly_whileAnotherWrites_seesWhatIsCommitted_andWritesNothing() {
    Path file = folder.resolve("book.db");
    try (FarmBook book = FarmBook.open(file);
        FarmBook reader = FarmBook.openReadOnly(file)) {
      int seenInside =
          book.write(
              "add",
              c -> {
                var unused = addGap(c, "a");
                return reader.read("be counted", FarmBookTest::gaps);
              });
      assertThat(seenInside).isZero();
      assertThat(count(reader)).isEqualTo(1);
      assertThat(reader.isWritable()).isFalse();
      assertThatThrownBy(() -> reader.write("add", c -> addGap(c, "b")))
          .isInstanceOf(UnsupportedOperationException.class)
          .hasMessageContaining("reading only");
      assertThatThrownBy(() -> reader.read("add", c -> addGap(c, "b")))
          .isInstanceOf(BookException.class);
    }
  }

  @Test
  void openReadOnly_withoutABook_saysSo() {
    assertThatThrownBy(() -> FarmBook.openReadOnly(folder.resolve("book.db")))
        .isInstanceOf(BookException.class)
        .hasMessageContainingAll("book.db", "does not exist");
    assertThat(folder.resolve("book.db")).doesNotExist();
  }

  @Test
  void open_bookOfANewerVersion_isRefused_andLeftAlone() {
    Path file = folder.resolve("book.db");
    try (FarmBook book = FarmBook.open(file)) {
      var unused =
          book.write(
              "pretend",
              c -> {
                try (Statement s = c.createStatement()) {
                  return s.executeUpdate(
                      "INSERT INTO book_version (installed_rank, version, description, type, script,"
                          + " installed_by, execution_time, success)"
                          + " VALUES (999, '999', 'later', 'SQL', 'V999__later.sql', '', 1, 1)");
                }
              });
    }
    assertThatThrownBy(() -> FarmBook.open(file))
        .isInstanceOf(BookException.class)
        .hasMessageContainingAll("newer version of Opercle", "999");
    assertThatThrownBy(() -> FarmBook.openReadOnly(file))
        .isInstanceOf(BookException.class)
        .hasMessageContaining("newer version of Opercle");
  }

  @Test
  void open_bookThatHasHadALaterStepFirst_catchesUp() {
    Path file = folder.resolve("book.db");
    try (FarmBook book = FarmBook.open(file)) {
      var unused =
          book.write(
              "undo the first step",
              c -> {
                try (Statement s = c.createStatement()) {
                  for (String table : new String[] {"alarm_event", "alarm_verdict", "alarm_gap"}) {
                    s.execute("DROP TABLE " + table);
                  }
                  return s.executeUpdate("DELETE FROM book_version WHERE version = '1'");
                }
              });
    }
    assertThatThrownBy(() -> FarmBook.openReadOnly(file))
        .isInstanceOf(BookException.class)
        .hasMessageContaining("older version of Opercle");
    try (FarmBook book = FarmBook.open(file)) {
      assertThat(count(book)).isZero();
    }
    FarmBook.openReadOnly(file).close();
  }

  @Test
  void open_whatIsNoBook_saysSo() throws IOException {
    Path file =
        Files.writeString(folder.resolve("book.db"), "not a database, but long enough ".repeat(40));
    assertThatThrownBy(() -> FarmBook.open(file))
        .isInstanceOf(BookException.class)
        .hasMessageContaining("book.db");
  }

  @Test
  void write_afterClosing_isRefused() {
    FarmBook book = FarmBook.open(folder.resolve("book.db"));
    book.close();
    book.close();
    assertThatThrownBy(() -> book.write("add", c -> addGap(c, "a")))
        .isInstanceOf(BookException.class)
        .hasMessageContaining("closed");
  }

  @Test
  void bookTime_cutsToMicroseconds_beforeAndAfter1970() {
    for (String time :
        new String[] {"2026-03-14T02:11:07.123456Z", "1969-12-31T23:59:59.999999Z"}) {
      Instant instant = Instant.parse(time);
      assertThat(BookTime.instant(BookTime.micros(instant))).isEqualTo(instant);
      assertThat(BookTime.micros(instant.plusNanos(999))).isEqualTo(BookTime.micros(instant));
    }
  }
}
