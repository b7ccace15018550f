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

  /** From here on it is quicker to look for each part by itself, at one reading a second. */
  private static final long LONG_PART_MS = 30_000;

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
          statement.setLong(next, Parts.ceilMillis(from));
          statement.setLong(next + 1, Parts.ceilMillis(to));
        },
        row -> reading(series, row));
  }

  List<Bucket> buckets(Series series, Instant from, Instant to, int count) {
    Parts parts = Parts.of(from, to, count);
    return read(
        "read buckets",
        connection -> {
          Optional<Row> row = row(connection, series);
          return row.isEmpty()
              ? List.of()
              : parts.isWholeMinutes() && row.get().rollsUp()
                  ? fromMinutes(connection, row.get(), parts)
                  : fromReadings(connection, row.get(), parts);
        });
  }

  /**
   * A series' row.
   *
   * @param rollsUp whether the database keeps minutes at all; an older program's does not
   * @param rolledFrom the minute from which on minutes are kept
   * @param trimmedTo the minute before which there are but minutes
   * @param keptFrom the minute before which another database may have more
   */
  private record Row(long id, boolean rollsUp, long rolledFrom, long trimmedTo, long keptFrom) {}

  private Optional<Row> row(Connection connection, Series series) throws SQLException {
    int version = Schema.requireKnownVersion(connection, file);
    boolean rollsUp = version >= Schema.WITH_ROLL_UPS;
    String sql =
        "SELECT id, %s, %s FROM series WHERE tank = ? AND quantity = ? AND probe = ?"
            .formatted(
                rollsUp ? "rolled_from" : "0",
                version >= Schema.WITH_OLDER_MINUTES
                    ? "trimmed_to, kept_from"
                    : "-1000000000000, -1000000000000");
    return select(
            connection,
            sql,
            statement -> bind(statement, series),
            row -> new Row(row.getLong(1), rollsUp, row.getLong(2), row.getLong(3), row.getLong(4)))
        .stream()
        .findFirst();
  }

  Optional<Instant> keptFrom(Series series) {
    return read("read a series", connection -> row(connection, series))
        .map(row -> Instant.ofEpochMilli(row.keptFrom() * SqliteRollUps.MINUTE_MS));
  }

  /**
   * From the readings; where they are deleted already, a minute stands in the part it begins in.
   */
  private static List<Bucket> fromReadings(Connection connection, Row of, Parts parts)
      throws SQLException {
    boolean areAllHere = of.trimmedTo() * SqliteRollUps.MINUTE_MS <= parts.startMs();
    if (areAllHere && parts.spanMs() / parts.count() >= LONG_PART_MS) {
      return partByPart(connection, of, parts);
    }
    String sql =
        areAllHere
            ? """
              SELECT (time - ?2) * ?4 / ?5 AS part, min(value), max(value), avg(value), count(*)
              FROM reading WHERE series = ?1 AND time >= ?2 AND time < ?3
              GROUP BY part ORDER BY part"""
            : """
              SELECT part, min(least), max(most), sum(total) / sum(count), sum(count) FROM (
                SELECT (max(minute * 60000, ?2) - ?2) * ?4 / ?5 AS part, least, most, total, count
                FROM minute
                WHERE series = ?1 AND minute * 60000 > ?2 - 60000 AND minute * 60000 < ?3
                  AND minute < ?7
                UNION ALL
                SELECT (time - ?2) * ?4 / ?5, value, value, value, 1 FROM reading
                WHERE series = ?1 AND time >= max(?2, ?7 * 60000) AND time < ?3)
              GROUP BY part ORDER BY part""";
    return select(
        connection, sql, statement -> bind(statement, of, parts), row -> bucket(row, parts));
  }

  /** Readings lie in order of time; to group them all would sort them first. */
  private static List<Bucket> partByPart(Connection connection, Row of, Parts parts)
      throws SQLException {
    List<Bucket> found = new ArrayList<>();
    try (PreparedStatement statement =
        connection.prepareStatement(
            "SELECT min(value), max(value), avg(value), count(*)"
                + " FROM reading WHERE series = ? AND time >= ? AND time < ?")) {
      statement.setLong(1, of.id());
      for (int part = 0; part < parts.count(); part++) {
        statement.setLong(2, parts.startOf(part).toEpochMilli());
        statement.setLong(3, parts.startOf(part + 1).toEpochMilli());
        try (ResultSet row = statement.executeQuery()) {
          long readings = row.getLong(4);
          if (readings > 0) {
            found.add(
                parts.bucket(part, row.getDouble(1), row.getDouble(2), row.getDouble(3), readings));
          }
        }
      }
    }
    return found;
  }

  /** From the minutes' roll-ups, and from readings where a series was not yet rolled up. */
  private static List<Bucket> fromMinutes(Connection connection, Row of, Parts parts)
      throws SQLException {
    return select(
        connection,
        """
        SELECT part, min(least), max(most), sum(total) / sum(count), sum(count) FROM (
          SELECT (minute * 60000 - ?2) * ?4 / ?5 AS part, least, most, total, count
          FROM minute
          WHERE series = ?1 AND minute >= ?2 / 60000 AND minute < ?3 / 60000
            AND (minute >= ?6 OR minute < ?7)
          UNION ALL
          SELECT (time - ?2) * ?4 / ?5, value, value, value, 1
          FROM reading
          WHERE series = ?1 AND time >= max(?2, ?7 * 60000) AND time < min(?3, ?6 * 60000))
        GROUP BY part ORDER BY part""",
        statement -> bind(statement, of, parts),
        row -> bucket(row, parts));
  }

  /**
   * Binds 1 series, 2 start, 3 end, 4 count, 5 span, 6 and 7 from when minutes, readings are kept.
   */
  private static void bind(PreparedStatement statement, Row of, Parts parts) throws SQLException {
    long[] values = {
      of.id(),
      parts.startMs(),
      parts.endMs(),
      parts.count(),
      parts.spanMs(),
      of.rolledFrom(),
      of.trimmedTo()
    };
    int used = statement.getParameterMetaData().getParameterCount();
    for (int i = 0; i < used; i++) {
      statement.setLong(i + 1, values[i]);
    }
  }

  private static Bucket bucket(ResultSet row, Parts parts) throws SQLException {
    return parts.bucket(
        row.getLong(1), row.getDouble(2), row.getDouble(3), row.getDouble(4), row.getLong(5));
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

  private interface Binder {
    void bind(PreparedStatement statement) throws SQLException;
  }

  private interface RowReader<T> {
    T from(ResultSet row) throws SQLException;
  }

  private <T> List<T> query(String what, String sql, Binder binder, RowReader<T> row) {
    return read(what, connection -> select(connection, sql, binder, row));
  }

  private static <T> List<T> select(
      Connection connection, String sql, Binder binder, RowReader<T> row) throws SQLException {
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
