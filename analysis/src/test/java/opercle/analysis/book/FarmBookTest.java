// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Instant;
import java.util.function.Supplier;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class FarmBookTest {

  @TempDir Path folder;
  private BookPlace place;

  BookKind kind() {
    return BookKind.SQLITE;
  }

  @BeforeEach
  void choosePlace() {
    place = kind().place(folder);
  }

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
  void write_keepsWhatItWrote_overClosing() {
    try (FarmBook book = FarmBook.open(place)) {
      var unused = book.write("add", c -> addGap(c, "a"));
    }
    try (FarmBook book = FarmBook.open(place)) {
      assertThat(count(book)).isEqualTo(1);
    }
  }

  @Test
  void write_failingHalfWay_leavesNoTrace_andTheNextOneWorks() {
    try (FarmBook book = FarmBook.open(place)) {
      assertThatThrownBy(
              () ->
                  book.write(
                      "add two",
                      c -> {
                        var unused = addGap(c, "a");
                        return addGap(c, "a");
                      }))
          .isInstanceOf(BookException.class)
          .hasMessageContainingAll(place.toString(), "could not add two");
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
    try (FarmBook book = FarmBook.open(place);
        FarmBook reader = FarmBook.openReadOnly(place)) {
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
  void openReadOnly_withoutABook_saysSo_andMakesNone() {
    BookPlace bare = kind().bare(folder);
    assertThatThrownBy(() -> FarmBook.openReadOnly(bare))
        .isInstanceOf(BookException.class)
        .hasMessageContainingAll(bare.toString(), "does not exist");
    assertThat(bare.isThere()).isFalse();
    FarmBook.open(bare).close();
    assertThat(bare.isThere()).isTrue();
  }

  @Test
  void open_bookOfANewerVersion_isRefused_andLeftAlone() {
    try (FarmBook book = FarmBook.open(place)) {
      var unused =
          book.write(
              "pretend",
              c -> {
                try (Statement s = c.createStatement()) {
                  return s.executeUpdate(
                      "INSERT INTO book_version (installed_rank, version, description, type, script,"
                          + " installed_by, execution_time, success)"
                          + " VALUES (999, '999', 'later', 'SQL', 'V999__later.sql', '', 1, true)");
                }
              });
    }
    assertThatThrownBy(() -> FarmBook.open(place))
        .isInstanceOf(BookException.class)
        .hasMessageContainingAll("newer version of Opercle", "999");
    assertThatThrownBy(() -> FarmBook.openReadOnly(place))
        .isInstanceOf(BookException.class)
        .hasMessageContaining("newer version of Opercle");
  }

  @Test
  void open_bookThatHasHadALaterStepFirst_catchesUp() {
    try (FarmBook book = FarmBook.open(place)) {
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
    assertThatThrownBy(() -> FarmBook.openReadOnly(place))
        .isInstanceOf(BookException.class)
        .hasMessageContaining("older version of Opercle");
    try (FarmBook book = FarmBook.open(place)) {
      assertThat(count(book)).isZero();
    }
    FarmBook.openReadOnly(place).close();
  }

  @Test
  void write_afterClosing_isRefused() {
    FarmBook book = FarmBook.open(place);
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

  /** Half of what belongs together must not stay because somebody was kind to the other half. */
  @Test
  void write_whosePartFailed_isNotKept_alsoWhereItsCallerCaughtThat() {
    try (FarmBook book = FarmBook.open(place)) {
      assertThatThrownBy(
              () ->
                  book.write(
                      "add both",
                      c -> {
                        var unused = addGap(c, "a");
                        return kindly(
                            () ->
                                book.write(
                                    "add a part",
                                    same -> {
                                      var unusedToo = addGap(same, "b");
                                      throw new IllegalStateException("no");
                                    }));
                      }))
          .isInstanceOf(BookException.class)
          .hasMessageContaining("could not add both: a part of it failed, so nothing is kept");
      assertThat(count(book)).isZero();

      assertThatThrownBy(
              () ->
                  book.write(
                      "add both",
                      c -> {
                        var unused = addGap(c, "a");
                        return kindly(() -> book.write("add it again", same -> addGap(same, "a")));
                      }))
          .isInstanceOf(BookException.class);
      assertThat(count(book)).isZero();

      var unused = book.write("add one", c -> addGap(c, "c"));
      assertThat(count(book)).as("the next one is another").isEqualTo(1);
    }
  }

  private static int kindly(Supplier<Integer> work) {
    try {
      return work.get();
    } catch (RuntimeException e) {
      return 0;
    }
  }
}
