// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Instant;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import org.jspecify.annotations.Nullable;
import org.sqlite.SQLiteConfig.SynchronousMode;

/**
 * Readings in one SQLite file, for one writing process and any number of reading ones.
 *
 * <p>Write-ahead log with {@code synchronous=FULL}: a batch is one transaction and is on the disk
 * when {@link #accept} returns, so that neither a killed process nor a pulled plug loses it. About
 * 25 bytes a reading: a hundred probes at one reading a second fill 216 MB a day; {@link Retention}
 * makes room. Beside them it keeps each minute's least, most and mean, which {@link #buckets} takes
 * for parts of whole minutes, and where the readings are deleted already.
 *
 * <p>{@code accept}, deleting and {@link #arrivals} share the one writing connection and a lock;
 * reading goes through connections of its own and sees the latest committed state without waiting.
 */
public final class SqliteReadings implements IntakeStore {

  /** What a file is to the process that writes it. */
  private enum Kind {
    STORE,
    SPOOL,
    SHARED_SPOOL
  }

  private final Path file;
  private final Optional<Connection> writer;
  private final Kind kind;
  private final SqliteReaders readers;
  private final Map<Series, Long> seriesIds = new HashMap<>();
  private final Object writing = new Object();
  private boolean closed;

  private SqliteReadings(Path file, Optional<Connection> writer, Kind kind) {
    this.file = file;
    this.writer = writer;
    this.kind = kind;
    this.readers = new SqliteReaders(file);
  }

  /**
   * Opens the store for writing and reading; the file and its folder are made if they are not
   * there.
   *
   * @throws StoreException if the file cannot be used, with the reason
   */
  public static SqliteReadings open(Path file) {
    return open(file, Kind.STORE);
  }

  /** Opens a store that notes what is to be sent to another database; see {@link SqliteSpool}. */
  static SqliteReadings openSpool(Path file) {
    return open(file, Kind.SPOOL);
  }

  /** The same for one of several that take the readings between them. */
  static SqliteReadings openSharedSpool(Path file) {
    return open(file, Kind.SHARED_SPOOL);
  }

  private static SqliteReadings open(Path file, Kind kind) {
    Connection connection = null;
    try {
      Path folder = file.toAbsolutePath().getParent();
      if (folder != null) {
        Files.createDirectories(folder);
      }
      connection = SqliteConnections.writing(file);
      Schema.bringUpToDate(connection, file);
      SqliteReadings store = new SqliteReadings(file, Optional.of(connection), kind);
      if (kind == Kind.SPOOL) {
        SqliteTrim.keptAfterParts(connection);
      }
      store.loadSeriesIds(connection);
      return store;
    } catch (IOException | SQLException e) {
      closeQuietly(connection);
      throw failed(file, "be opened", e);
    } catch (RuntimeException e) {
      closeQuietly(connection);
      throw e;
    }
  }

  /**
   * Opens an existing store for reading only, for instance while another process writes it.
   *
   * @throws StoreException if there is no such file, or it cannot be read
   */
  public static SqliteReadings openReadOnly(Path file) {
    if (!Files.isRegularFile(file)) {
      throw new StoreException(
          "the readings store %s does not exist; start the ingest service first, or correct the path"
              .formatted(file));
    }
    SqliteReadings store = new SqliteReadings(file, Optional.empty(), Kind.STORE);
    try {
      var unused = store.readers.read("be opened", c -> Schema.requireKnownVersion(c, file));
      return store;
    } catch (RuntimeException e) {
      store.close();
      throw e;
    }
  }

  /**
   * The same for a store that the other process may make later: until it is there each question is
   * a {@link StoreException} that says so.
   *
   * @throws StoreException if it is there and cannot be read
   */
  public static ReadingStore openReadOnlyOnceThere(Path file) {
    return new StoreOnceThere(file);
  }

  @Override
  public void accept(List<Reading> batch) {
    if (batch.isEmpty()) {
      return;
    }
    synchronized (writing) {
      Map<Series, Long> newIds = new HashMap<>();
      var unused =
          write(
              "take %d readings".formatted(batch.size()),
              connection -> insert(connection, batch, newIds));
      seriesIds.putAll(newIds); // they count only now that they are committed
    }
  }

  private int insert(Connection connection, List<Reading> batch, Map<Series, Long> newIds)
      throws SQLException {
    try (PreparedStatement insert =
        connection.prepareStatement(
            "INSERT INTO reading (series, time, value) VALUES (?, ?, ?) ON CONFLICT DO NOTHING")) {
      long[] series = new long[batch.size()];
      for (int i = 0; i < series.length; i++) {
        Reading reading = batch.get(i);
        long time = reading.time().toEpochMilli();
        series[i] = seriesId(connection, reading.series(), newIds, time);
        insert.setLong(1, series[i]);
        insert.setLong(2, time);
        insert.setDouble(3, reading.value());
        insert.addBatch();
      }
      int[] rows = insert.executeBatch();
      SqliteRollUps rollUps = new SqliteRollUps();
      int kept = 0;
      for (int i = 0; i < series.length; i++) {
        if (rows[i] == 1) { // one that is there already must not count twice
          Reading reading = batch.get(i);
          rollUps.add(series[i], reading.time().toEpochMilli(), reading.value());
          kept++;
        }
      }
      rollUps.write(connection, kind == Kind.SHARED_SPOOL);
      if (kind != Kind.STORE) {
        rollUps.markUnsent(connection);
      }
      return kept;
    }
  }

  private long seriesId(
      Connection connection, Series series, Map<Series, Long> newIds, long firstMs)
      throws SQLException {
    Long known = seriesIds.get(series);
    if (known == null) {
      known = newIds.get(series);
    }
    if (known != null) {
      return known;
    }
    try (PreparedStatement insert =
        connection.prepareStatement(
            "INSERT INTO series (tank, quantity, probe) VALUES (?, ?, ?)"
                + " ON CONFLICT DO UPDATE SET tank = excluded.tank RETURNING id")) {
      insert.setString(1, series.tank());
      insert.setString(2, series.quantity().id());
      insert.setString(3, series.probe());
      try (ResultSet row = insert.executeQuery()) {
        long id = row.getLong(1);
        newIds.put(series, id);
        // What came before this spool, the other database may have; of its own part, it has all.
        if (kind == Kind.SPOOL) {
          SqliteTrim.keptFrom(connection, id, SqliteTrim.minute(firstMs) + 1);
        }
        return id;
      }
    }
  }

  /**
   * Deletes the oldest readings of a series from before a time, whole minutes of them, and keeps
   * each minute's least, most and mean.
   *
   * @param most about how many at once; while it works, new readings wait
   * @return how many were deleted; fewer than {@code most} if there are no more
   * @throws StoreException if it could not
   */
  public int deleteSomeReadings(Series series, Instant before, int most) {
    return deleteBite(series, (c, id) -> SqliteTrim.readings(c, id, before, most));
  }

  /**
   * Deletes the oldest minutes of a series from before a time, with what readings they still have.
   *
   * @param most how many at once
   * @return how many were deleted; fewer than {@code most} if there are no more
   * @throws StoreException if it could not
   */
  public int deleteSomeMinutes(Series series, Instant before, int most) {
    return deleteBite(series, (c, id) -> SqliteTrim.minutes(c, id, before, most));
  }

  /** Deletes the oldest minutes and readings that have been sent to another database. */
  int deleteSomeSent(Series series, Instant before, int most) {
    return deleteBite(series, (c, id) -> SqliteTrim.sent(c, id, before, most));
  }

  private interface Bite {
    int take(Connection connection, long series) throws SQLException;
  }

  private int deleteBite(Series series, Bite bite) {
    return write(
        "delete old readings",
        connection -> {
          Long id = seriesIds.get(series);
          return id == null ? 0 : bite.take(connection, id);
        });
  }

  /** What tells this file from any other that was or will be in its place. */
  String identity() {
    return write(
        "say which it is",
        c -> {
          try (Statement statement = c.createStatement();
              ResultSet row = statement.executeQuery("SELECT id FROM identity")) {
            return row.getString(1);
          }
        });
  }

  @Override
  public ReadingStore onThisMachine() {
    return this;
  }

  @Override
  public ArrivalLog arrivals(int window) {
    return new SqliteArrivals(this, window);
  }

  @Override
  public List<Reading> range(Series series, Instant from, Instant to) {
    return readers.range(series, from, to);
  }

  @Override
  public List<Bucket> buckets(Series series, Instant from, Instant to, int count) {
    return readers.buckets(series, from, to, count);
  }

  /**
   * From when on no other database has more of a series than is here; empty where nothing ever was.
   */
  Optional<Instant> keptFrom(Series series) {
    return readers.keptFrom(series);
  }

  @Override
  public Optional<Reading> newest(Series series) {
    return readers.newest(series);
  }

  @Override
  public List<Series> series() {
    return readers.series();
  }

  @Override
  public void close() {
    readers.close();
    synchronized (writing) {
      if (!closed) {
        closed = true;
        writer.ifPresent(SqliteReadings::closeQuietly);
      }
    }
  }

  /** What is done with a connection. */
  interface Work<T> {
    T run(Connection connection) throws SQLException;
  }

  /** Does the work in one transaction, which is on the disk when this returns. */
  <T> T write(String what, Work<T> work) {
    synchronized (writing) {
      if (writer.isEmpty()) {
        throw new UnsupportedOperationException(
            "the readings store %s was opened for reading only".formatted(file));
      }
      if (closed) {
        throw new StoreException("the readings store %s is closed".formatted(file));
      }
      // Begun and ended in SQL: with JDBC's own transactions the driver begins the next one at
      // once, and would hold the lock of the file while nothing is being written.
      try (Statement transaction = writer.get().createStatement()) {
        transaction.execute("BEGIN IMMEDIATE");
        try {
          T result = work.run(writer.get());
          transaction.execute("COMMIT");
          return result;
        } catch (SQLException | RuntimeException e) {
          rollBack(transaction, e);
          throw e;
        }
      } catch (SQLException e) {
        throw failed(file, what, e);
      }
    }
  }

  /**
   * The same, but on the disk at the latest with the next {@link #write}: SQLite's log is written
   * and brought to the disk in order (<a href="https://sqlite.org/wal.html">WAL</a>). Until then it
   * outlives this process, and not the machine.
   */
  <T> T writeAheadOfNext(String what, Work<T> work) {
    synchronized (writing) {
      synchronous(SynchronousMode.NORMAL);
      try {
        return write(what, work);
      } finally {
        synchronous(SynchronousMode.FULL);
      }
    }
  }

  private void synchronous(SynchronousMode mode) {
    if (writer.isEmpty() || closed) {
      return; // the work itself is refused, and says so
    }
    try (Statement statement = writer.get().createStatement()) {
      statement.execute("PRAGMA synchronous = " + mode.getValue());
    } catch (SQLException e) {
      throw failed(file, "be written more or less safely", e);
    }
  }

  private static void rollBack(Statement transaction, Exception reason) {
    try {
      transaction.execute("ROLLBACK");
    } catch (SQLException e) {
      reason.addSuppressed(e); // SQLite has rolled back by itself, as it does when the disk is full
    }
  }

  private void loadSeriesIds(Connection connection) throws SQLException {
    try (Statement statement = connection.createStatement();
        ResultSet row = statement.executeQuery("SELECT id, tank, quantity, probe FROM series")) {
      while (row.next()) {
        long id = row.getLong(1);
        String tank = row.getString(2);
        String probe = row.getString(4);
        Quantity.of(row.getString(3)).ifPresent(q -> seriesIds.put(new Series(tank, q, probe), id));
      }
    }
  }

  static StoreException failed(Path file, String what, Exception e) {
    return new StoreException(
        "the readings store %s could not %s: %s"
            .formatted(
                file, what, SqliteWords.why(e).orElseGet(() -> String.valueOf(e.getMessage()))),
        e);
  }

  private static void closeQuietly(@Nullable Connection connection) {
    if (connection == null) {
      return;
    }
    try {
      connection.close();
    } catch (SQLException e) {
      // Everything accepted is committed; there is nothing left to lose.
    }
  }
}
