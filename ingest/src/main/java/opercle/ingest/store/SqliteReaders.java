// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.Optional;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;

/**
 * The reading side of a SQLite file: a connection for each reader at work, a few kept for the next.
 * Safe for many threads.
 */
final class SqliteReaders implements AutoCloseable {

  private static final int KEPT_IDLE = 4;

  private static final String OF_SERIES =
      " FROM reading r JOIN series s ON s.id = r.series"
          + " WHERE s.tank = ? AND s.quantity = ? AND s.probe = ?";

  private final Path file;
  private final Deque<Connection> idle = new ArrayDeque<>();
  private boolean closed;

  SqliteReaders(Path file) {
    this.file = file;
  }

  List<Reading> range(Series series, Instant from, Instant to) {
    return query(
        "read a range",
        "SELECT r.time, r.value" + OF_SERIES + " AND r.time >= ? AND r.time < ? ORDER BY r.time",
        statement -> {
          int next = bind(statement, series);
          statement.setLong(next, ceilMillis(from));
          statement.setLong(next + 1, ceilMillis(to));
        },
        row -> reading(series, row));
  }

  List<Bucket> buckets(Series series, Instant from, Instant to, int count) {
    long start = ceilMillis(from);
    long span = ceilMillis(to) - start;
    if (span <= 0 || count < 1) {
      throw new IllegalArgumentException(
          "buckets: from must be before to and count at least 1, but were %s, %s and %d"
              .formatted(from, to, count));
    }
    return read(
        "read buckets",
        connection ->
            isWholeMinutes(start, span, count) && Schema.hasRollUps(connection, file)
                ? fromMinutes(connection, series, start, span, count)
                : fromReadings(connection, series, start, span, count));
  }

  /** Whether every part begins and ends with a minute. */
  private static boolean isWholeMinutes(long start, long span, int count) {
    return start % SqliteRollUps.MINUTE_MS == 0 && span % (count * SqliteRollUps.MINUTE_MS) == 0;
  }

  private static List<Bucket> fromReadings(
      Connection connection, Series series, long start, long span, int count) throws SQLException {
    return select(
        connection,
        "SELECT (r.time - ?4) * ?6 / ?7 AS part, min(r.value), max(r.value), avg(r.value), count(*)"
            + " FROM reading r JOIN series s ON s.id = r.series"
            + " WHERE s.tank = ?1 AND s.quantity = ?2 AND s.probe = ?3"
            + " AND r.time >= ?4 AND r.time < ?5 GROUP BY part ORDER BY part",
        statement -> bind(statement, series, start, span, count),
        row -> bucket(row, start, span, count));
  }

  /** From the minutes' roll-ups, and from readings where a series was not yet rolled up. */
  private static List<Bucket> fromMinutes(
      Connection connection, Series series, long start, long span, int count) throws SQLException {
    return select(
        connection,
        """
        SELECT part, min(least), max(most), sum(total) / sum(count), sum(count) FROM (
          SELECT (m.minute * 60000 - ?4) * ?6 / ?7 AS part, m.least, m.most, m.total, m.count
          FROM series s JOIN minute m ON m.series = s.id
          WHERE s.tank = ?1 AND s.quantity = ?2 AND s.probe = ?3
            AND m.minute >= max(?4 / 60000, s.rolled_from) AND m.minute < ?5 / 60000
          UNION ALL
          SELECT (r.time - ?4) * ?6 / ?7, r.value, r.value, r.value, 1
          FROM series s JOIN reading r ON r.series = s.id
          WHERE s.tank = ?1 AND s.quantity = ?2 AND s.probe = ?3
            AND r.time >= ?4 AND r.time < min(?5, s.rolled_from * 60000))
        GROUP BY part ORDER BY part""",
        statement -> bind(statement, series, start, span, count),
        row -> bucket(row, start, span, count));
  }

  private static void bind(
      PreparedStatement statement, Series series, long start, long span, int count)
      throws SQLException {
    int next = bind(statement, series);
    statement.setLong(next, start);
    statement.setLong(next + 1, start + span);
    statement.setInt(next + 2, count);
    statement.setLong(next + 3, span);
  }

  private static Bucket bucket(ResultSet row, long start, long span, int count)
      throws SQLException {
    long part = row.getLong(1);
    return new Bucket(
        Instant.ofEpochMilli(start + ceilDiv(part * span, count)),
        Instant.ofEpochMilli(start + ceilDiv((part + 1) * span, count)),
        row.getDouble(2),
        row.getDouble(3),
        row.getDouble(4),
        row.getLong(5));
  }

  Optional<Reading> newest(Series series) {
    return query(
            "read the newest",
            "SELECT r.time, r.value" + OF_SERIES + " ORDER BY r.time DESC LIMIT 1",
            statement -> bind(statement, series),
            row -> reading(series, row))
        .stream()
        .findFirst();
  }

  List<Series> series() {
    // Ids that this version does not know come from a newer one, and are not ours to show.
    return query(
            "list the series",
            "SELECT tank, quantity, probe FROM series ORDER BY tank, quantity, probe",
            statement -> {},
            row -> {
              String tank = row.getString(1);
              String probe = row.getString(3);
              return Quantity.of(row.getString(2)).map(q -> new Series(tank, q, probe));
            })
        .stream()
        .flatMap(Optional::stream)
        .toList();
  }

  /** Binds a series to the first three parameters; the next free one is returned. */
  static int bind(PreparedStatement statement, Series series) throws SQLException {
    statement.setString(1, series.tank());
    statement.setString(2, series.quantity().id());
    statement.setString(3, series.probe());
    return 4;
  }

  private static Reading reading(Series series, ResultSet row) throws SQLException {
    return new Reading(
        series.tank(),
        series.quantity(),
        series.probe(),
        Instant.ofEpochMilli(row.getLong(1)),
        row.getDouble(2));
  }

  private static long ceilDiv(long dividend, long divisor) {
    return -Math.floorDiv(-dividend, divisor);
  }

  /** Stored times are whole milliseconds; the first at or after a limit decides. */
  private static long ceilMillis(Instant limit) {
    long millis = limit.toEpochMilli();
    return limit.isAfter(Instant.ofEpochMilli(millis)) ? millis + 1 : millis;
  }

  private interface Binder {
    void bind(PreparedStatement statement) throws SQLException;
  }

  private interface Row<T> {
    T from(ResultSet row) throws SQLException;
  }

  private <T> List<T> query(String what, String sql, Binder binder, Row<T> row) {
    return read(what, connection -> select(connection, sql, binder, row));
  }

  private static <T> List<T> select(Connection connection, String sql, Binder binder, Row<T> row)
      throws SQLException {
    List<T> found = new ArrayList<>();
    try (PreparedStatement statement = connection.prepareStatement(sql)) {
      binder.bind(statement);
      try (ResultSet rows = statement.executeQuery()) {
        while (rows.next()) {
          found.add(row.from(rows));
        }
      }
    }
    return found;
  }

  <T> T read(String what, SqliteReadings.Work<T> work) {
    Connection connection = null;
    try {
      connection = take();
      T result = work.run(connection);
      giveBack(connection);
      return result;
    } catch (SQLException e) {
      if (connection != null) {
        discard(connection);
      }
      throw SqliteReadings.failed(file, what, e);
    }
  }

  private Connection take() throws SQLException {
    synchronized (idle) {
      if (closed) {
        throw new StoreException("the readings store %s is closed".formatted(file));
      }
      Connection connection = idle.poll();
      if (connection != null) {
        return connection;
      }
    }
    return SqliteConnections.reading(file);
  }

  private void giveBack(Connection connection) {
    synchronized (idle) {
      if (!closed && idle.size() < KEPT_IDLE) {
        idle.push(connection);
        return;
      }
    }
    discard(connection);
  }

  private static void discard(Connection connection) {
    try {
      connection.close();
    } catch (SQLException e) {
      // It was only read from; nothing is lost with it.
    }
  }

  @Override
  public void close() {
    synchronized (idle) {
      closed = true;
      idle.forEach(SqliteReaders::discard);
      idle.clear();
    }
  }
}
