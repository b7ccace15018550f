// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;

/**
 * Deletes what is too old, a bite at a time and always whole minutes, so that a minute is either
 * there with all its readings or not at all. Each method is one bite, within one transaction.
 */
final class SqliteTrim {

  /** The minute of a reading, also before 1970. */
  static final String MINUTE_OF_TIME = "(time - ((time % 60000) + 60000) % 60000) / 60000";

  /** Later than any reading. */
  static final Instant END_OF_TIME = Instant.parse("9999-01-01T00:00:00Z");

  private SqliteTrim() {}

  /**
   * Deletes the oldest readings and leaves their minutes.
   *
   * @param most of this many readings the minutes are made whole
   * @return how many were deleted; fewer than {@code most} if there are no more
   */
  static int readings(Connection c, long series, Instant before, int most) throws SQLException {
    long lastMs =
        number(
            c,
            "SELECT max(time) FROM (SELECT time FROM reading WHERE series = ? AND time < ?"
                + " ORDER BY time LIMIT ?)",
            Long.MIN_VALUE,
            series,
            minute(before.toEpochMilli()) * SqliteRollUps.MINUTE_MS,
            most);
    if (lastMs == Long.MIN_VALUE) {
      return 0;
    }
    long end = minute(lastMs) + 1;
    // Readings from before there were roll-ups get theirs now.
    run(
        c,
        """
        INSERT OR REPLACE INTO minute (series, minute, count, least, most, total)
        SELECT r.series, %s AS m, count(*), min(value), max(value), sum(value)
        FROM reading r JOIN series s ON s.id = r.series
        WHERE r.series = ?1 AND r.time >= s.trimmed_to * 60000
          AND r.time < min(?2, s.rolled_from) * 60000
        GROUP BY m"""
            .formatted(MINUTE_OF_TIME),
        series,
        end);
    int deleted =
        run(
            c,
            "DELETE FROM reading WHERE series = ? AND time < ?",
            series,
            end * SqliteRollUps.MINUTE_MS);
    trimmedTo(c, series, end);
    return deleted;
  }

  /**
   * Deletes the oldest minutes, and what readings they still have.
   *
   * @return how many minutes were deleted; fewer than {@code most} if there are no more
   */
  static int minutes(Connection c, long series, Instant before, int most) throws SQLException {
    long last =
        number(
            c,
            "SELECT max(minute) FROM (SELECT minute FROM minute WHERE series = ? AND minute < ?"
                + " ORDER BY minute LIMIT ?)",
            Long.MIN_VALUE,
            series,
            minute(before.toEpochMilli()),
            most);
    if (last == Long.MIN_VALUE) {
      return 0;
    }
    run(
        c,
        "DELETE FROM reading WHERE series = ? AND time < ?",
        series,
        (last + 1) * SqliteRollUps.MINUTE_MS);
    trimmedTo(c, series, last + 1);
    return run(c, "DELETE FROM minute WHERE series = ? AND minute <= ?", series, last);
  }

  /**
   * Deletes the oldest minutes with their readings that another database has.
   *
   * @param most of this many readings the minutes are made whole
   * @return how many readings were deleted, or more; fewer than {@code most} if there are no more
   */
  static int sent(Connection c, long series, Instant before, int most) throws SQLException {
    long last = Long.MIN_VALUE;
    long readings = 0;
    try (PreparedStatement oldest =
        c.prepareStatement(
            "SELECT minute, count FROM minute m WHERE series = ? AND minute < ? AND NOT EXISTS"
                + " (SELECT 1 FROM unsent u WHERE u.series = m.series AND u.minute = m.minute)"
                + " ORDER BY minute")) {
      oldest.setLong(1, series);
      oldest.setLong(2, minute(before.toEpochMilli()));
      try (ResultSet row = oldest.executeQuery()) {
        while (readings < most && row.next()) {
          last = row.getLong(1);
          readings += row.getLong(2);
        }
      }
    }
    if (last == Long.MIN_VALUE) {
      return 0;
    }
    run(
        c,
        """
        DELETE FROM reading WHERE series = ?1 AND time < ?2 AND NOT EXISTS
          (SELECT 1 FROM unsent u WHERE u.series = ?1 AND u.minute = %s)"""
            .formatted(MINUTE_OF_TIME),
        series,
        (last + 1) * SqliteRollUps.MINUTE_MS);
    run(
        c,
        """
        DELETE FROM minute WHERE series = ?1 AND minute <= ?2 AND NOT EXISTS
          (SELECT 1 FROM unsent u WHERE u.series = ?1 AND u.minute = minute.minute)""",
        series,
        last);
    keptFrom(c, series, last + 1);
    return (int) Math.min(readings, Integer.MAX_VALUE);
  }

  private static void trimmedTo(Connection c, long series, long minute) throws SQLException {
    run(c, "UPDATE series SET trimmed_to = max(trimmed_to, ?2) WHERE id = ?1", series, minute);
  }

  /** Readings of a series from before a minute may be in another database and not here. */
  static void keptFrom(Connection c, long series, long minute) throws SQLException {
    run(c, "UPDATE series SET kept_from = max(kept_from, ?2) WHERE id = ?1", series, minute);
  }

  /** Of minutes that others had a part in, another database has more than is here. */
  static void keptAfterParts(Connection c) throws SQLException {
    run(
        c,
        """
        UPDATE series SET kept_from = max(kept_from, coalesce(
          (SELECT max(minute) + 1 FROM minute WHERE series = series.id AND is_part), kept_from))""");
  }

  static long minute(long timeMs) {
    return Math.floorDiv(timeMs, SqliteRollUps.MINUTE_MS);
  }

  /** The one number that a query answers, or another where it answers none. */
  static long number(Connection c, String sql, long otherwise, long... parameters)
      throws SQLException {
    try (PreparedStatement statement = c.prepareStatement(sql)) {
      bind(statement, parameters);
      try (ResultSet row = statement.executeQuery()) {
        if (!row.next()) {
          return otherwise;
        }
        long number = row.getLong(1);
        return row.wasNull() ? otherwise : number;
      }
    }
  }

  /** How many rows a statement changes. */
  static int run(Connection c, String sql, long... parameters) throws SQLException {
    try (PreparedStatement statement = c.prepareStatement(sql)) {
      bind(statement, parameters);
      return statement.executeUpdate();
    }
  }

  private static void bind(PreparedStatement statement, long... parameters) throws SQLException {
    for (int i = 0; i < parameters.length; i++) {
      statement.setLong(i + 1, parameters[i]);
    }
  }
}
