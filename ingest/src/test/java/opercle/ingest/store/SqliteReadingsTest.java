// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.IntStream;
import opercle.ingest.ChildJvm;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class SqliteReadingsTest extends ReadingStoreContract {

  @TempDir Path folder;

  @Override
  protected ReadingStore emptyStore() {
    return SqliteReadings.open(file());
  }

  @Test
  void reopenedStore_hasWhatWasAccepted() {
    Path other = folder.resolve("other.db");
    try (SqliteReadings store = SqliteReadings.open(other)) {
      store.accept(List.of(oxygen(0, 8.0)));
    }

    try (SqliteReadings store = SqliteReadings.open(other)) {
      store.accept(List.of(oxygen(1, 8.1)));
      assertThat(store.range(OXYGEN, START, START.plusSeconds(9))).hasSize(2);
      assertThat(store.series()).containsExactly(OXYGEN);
    }
  }

  @Test
  void readOnlyStore_seesWhatTheWriterCommitsAndRefusesToWrite() {
    try (SqliteReadings writer = SqliteReadings.open(file());
        SqliteReadings reader = SqliteReadings.openReadOnly(file())) {
      writer.accept(List.of(oxygen(0, 8.0)));

      assertThat(reader.newest(OXYGEN)).contains(oxygen(0, 8.0));
      assertThatThrownBy(() -> reader.accept(List.of(oxygen(1, 8.0))))
          .isInstanceOf(UnsupportedOperationException.class);
    }
  }

  @Test
  void readOnlyStoreWithoutFile_saysWhatToDo() {
    assertThatThrownBy(() -> SqliteReadings.openReadOnly(folder.resolve("none.db")))
        .isInstanceOf(StoreException.class)
        .hasMessageContaining("none.db does not exist");
  }

  @Test
  void fileThatIsNoDatabase_isRefusedByName() throws IOException {
    Path text = Files.writeString(folder.resolve("notes.txt"), "not a database ".repeat(100));

    assertThatThrownBy(() -> SqliteReadings.open(text))
        .isInstanceOf(StoreException.class)
        .hasMessageContaining("notes.txt");
  }

  @Test
  void newerSchema_isRefusedAndLeftAlone() throws SQLException {
    Path newer = folder.resolve("newer.db");
    execute(newer, "PRAGMA user_version = 99");

    assertThatThrownBy(() -> SqliteReadings.open(newer))
        .isInstanceOf(StoreException.class)
        .hasMessageContaining("newer version of Opercle (schema 99");
  }

  @Test
  void failedBatch_leavesNothingAndCanBeOfferedAgain() throws SQLException {
    try (SqliteReadings store = SqliteReadings.open(file())) {
      execute(
          file(),
          "CREATE TRIGGER fault BEFORE INSERT ON reading WHEN NEW.value = 9.0"
              + " BEGIN SELECT RAISE(ABORT, 'disk trouble'); END");
      List<Reading> batch = List.of(oxygen(0, 8.0), oxygen(1, 9.0));

      assertThatThrownBy(() -> store.accept(batch))
          .isInstanceOf(StoreException.class)
          .hasMessageContaining("could not take 2 readings")
          .hasStackTraceContaining("disk trouble"); // for the log; the pages say it in plain words
      assertThat(store.newest(OXYGEN)).isEmpty();

      execute(file(), "DROP TRIGGER fault");
      store.accept(batch);
      assertThat(store.range(OXYGEN, START, START.plusSeconds(9))).isEqualTo(batch);
    }
  }

  @Test
  void reader_doesNotWaitForAWriterInTheMiddleOfATransaction() throws SQLException {
    try (SqliteReadings store = SqliteReadings.open(file())) {
      store.accept(List.of(oxygen(0, 8.0)));
      try (Connection other = connect(file());
          Statement statement = other.createStatement()) {
        statement.execute("BEGIN IMMEDIATE");
        statement.execute("DELETE FROM reading");

        assertThat(store.newest(OXYGEN)).contains(oxygen(0, 8.0));

        statement.execute("ROLLBACK");
      }
    }
  }

  @Test
  void arrivals_comeBackInOrderAndOnlyTheLatestAreKept() {
    try (SqliteReadings store = SqliteReadings.open(file())) {
      ArrivalLog log = store.arrivals(100);
      for (int batch = 0; batch < 50; batch++) {
        int first = batch * 10;
        log.record(IntStream.range(first, first + 10).mapToObj(i -> arrival(i)).toList());
      }
    }

    try (SqliteReadings store = SqliteReadings.open(file())) {
      List<Arrival> latest = store.arrivals(100).latest();
      assertThat(latest.size()).isBetween(100, 120);
      assertThat(latest)
          .isEqualTo(IntStream.range(500 - latest.size(), 500).mapToObj(i -> arrival(i)).toList());
    }
  }

  /** What SQLite calls FULL is 2, NORMAL 1 (its documentation of PRAGMA synchronous). */
  @Test
  void arrivals_mayWaitForTheDiskUntilTheReadings_whichNeverMay() {
    try (SqliteReadings store = SqliteReadings.open(file())) {
      assertThat(store.writeAheadOfNext("look", SqliteReadingsTest::synchronous)).isEqualTo(1);
      assertThat(store.write("look", SqliteReadingsTest::synchronous)).isEqualTo(2);

      SqliteReadings.Work<Integer> failing =
          connection -> {
            throw new SQLException("disk full");
          };
      assertThatThrownBy(() -> store.writeAheadOfNext("fail", failing))
          .isInstanceOf(StoreException.class);
      assertThat(store.write("look", SqliteReadingsTest::synchronous)).isEqualTo(2);
    }
  }

  private static int synchronous(Connection connection) throws SQLException {
    try (Statement statement = connection.createStatement();
        ResultSet row = statement.executeQuery("PRAGMA synchronous")) {
      return row.getInt(1);
    }
  }

  /** The child commits batches and says so; all that it said before it was killed must be there. */
  @Test
  void writerKilledOutright_losesNoAcknowledgedBatchAndDoublesNone() throws Exception {
    Path killed = folder.resolve("killed.db");
    int lastSaid;
    try (ChildJvm child = ChildJvm.start(Writer.class, killed.toString())) {
      lastSaid =
          Integer.parseInt(child.awaitLine(line -> parse(line) >= 40, Duration.ofSeconds(30)));
      child.kill();
      for (String line : child.remainingLines()) {
        lastSaid = Math.max(lastSaid, parse(line));
      }
    }

    try (SqliteReadings store = SqliteReadings.open(killed)) {
      List<Reading> kept = store.range(OXYGEN, START, START.plusSeconds(1_000_000_000));
      List<Reading> expected = new ArrayList<>();
      for (int batch = 0; batch <= lastSaid; batch++) {
        expected.addAll(Writer.batch(batch));
      }
      assertThat(kept).startsWith(expected.toArray(Reading[]::new));
      assertThat(kept.size() % Writer.BATCH).as("batches are whole").isZero();
      assertThat(integrity(killed)).isEqualTo("ok");
    }
  }

  private static int parse(String line) {
    return line.matches("\\d+") ? Integer.parseInt(line) : -1;
  }

  /** Runs in a JVM of its own until it is killed. */
  static final class Writer {
    static final int BATCH = 200;

    public static void main(String[] args) {
      try (SqliteReadings store = SqliteReadings.open(Path.of(args[0]))) {
        for (int batch = 0; batch < 1_000_000; batch++) {
          store.accept(batch(batch));
          System.out.println(batch);
        }
      }
    }

    static List<Reading> batch(int number) {
      Series series = OXYGEN;
      return IntStream.range(0, BATCH)
          .mapToObj(
              i ->
                  new Reading(
                      series.tank(),
                      Quantity.OXYGEN,
                      series.probe(),
                      START.plusSeconds((long) number * BATCH + i),
                      number % 50))
          .toList();
    }
  }

  private static Arrival arrival(int number) {
    return new Arrival(65_535 - number, number * 0x9e3779b97f4a7c15L, START.plusMillis(number));
  }

  private Path file() {
    return folder.resolve("new folder").resolve("readings.db");
  }

  private static Connection connect(Path file) throws SQLException {
    return DriverManager.getConnection("jdbc:sqlite:" + file);
  }

  private static void execute(Path file, String sql) throws SQLException {
    try (Connection connection = connect(file);
        Statement statement = connection.createStatement()) {
      statement.execute(sql);
    }
  }

  private static String integrity(Path file) throws SQLException {
    try (Connection connection = connect(file);
        Statement statement = connection.createStatement();
        ResultSet row = statement.executeQuery("PRAGMA integrity_check")) {
      return row.getString(1);
    }
  }
}
