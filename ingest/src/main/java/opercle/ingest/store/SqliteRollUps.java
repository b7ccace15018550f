// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.SQLException;
import java.util.HashMap;
import java.util.Map;

/**
 * Least, most, sum and count of every series' readings, minute by minute, so that a month can be
 * drawn without reading it: sixty times fewer rows at one reading a second.
 *
 * <p>They are kept in the same transaction as the readings themselves: a reading counts when it is
 * kept, once, whenever it comes, and no longer when it is deleted. So they always say what the
 * readings would: least, most and count exactly, the mean to the last few digits, which depend on
 * the order of adding up.
 *
 * <p>One batch's worth; for one thread, within one transaction.
 */
final class SqliteRollUps {

  static final long MINUTE_MS = 60_000;

  private record Key(long series, long minute) {}

  /** What one batch adds to one minute. */
  private static final class Part {
    private int count;
    private double least = Double.POSITIVE_INFINITY;
    private double most = Double.NEGATIVE_INFINITY;
    private double total;
  }

  private final Map<Key, Part> parts = new HashMap<>();

  /** Counts a reading that has been kept. */
  void add(long series, long timeMs, double value) {
    Part part =
        parts.computeIfAbsent(new Key(series, Math.floorDiv(timeMs, MINUTE_MS)), key -> new Part());
    part.count++;
    part.least = Math.min(part.least, value);
    part.most = Math.max(part.most, value);
    part.total += value;
  }

  /** Writes what was counted. */
  void write(Connection connection) throws SQLException {
    try (PreparedStatement upsert =
        connection.prepareStatement(
            """
            INSERT INTO minute (series, minute, count, least, most, total) VALUES (?, ?, ?, ?, ?, ?)
            ON CONFLICT DO UPDATE SET count = count + excluded.count,
              least = min(least, excluded.least), most = max(most, excluded.most),
              total = total + excluded.total""")) {
      for (Map.Entry<Key, Part> entry : parts.entrySet()) {
        Part part = entry.getValue();
        upsert.setLong(1, entry.getKey().series());
        upsert.setLong(2, entry.getKey().minute());
        upsert.setInt(3, part.count);
        upsert.setDouble(4, part.least);
        upsert.setDouble(5, part.most);
        upsert.setDouble(6, part.total);
        upsert.addBatch();
      }
      upsert.executeBatch();
    }
  }

  /**
   * Forgets what was deleted: the readings of a series up to a time, all of them.
   *
   * @param lastMs the newest that was deleted; its minute is counted anew
   */
  static void deletedUpTo(Connection connection, long series, long lastMs) throws SQLException {
    long minute = Math.floorDiv(lastMs, MINUTE_MS);
    try (PreparedStatement forget =
            connection.prepareStatement("DELETE FROM minute WHERE series = ? AND minute <= ?");
        PreparedStatement again =
            connection.prepareStatement(
                """
                INSERT INTO minute (series, minute, count, least, most, total)
                SELECT series, ?2, count(*), min(value), max(value), sum(value) FROM reading
                WHERE series = ?1 AND time >= ?3 AND time < ?4 GROUP BY series""")) {
      forget.setLong(1, series);
      forget.setLong(2, minute);
      forget.executeUpdate();
      again.setLong(1, series);
      again.setLong(2, minute);
      again.setLong(3, minute * MINUTE_MS);
      again.setLong(4, (minute + 1) * MINUTE_MS);
      again.executeUpdate();
    }
  }
}
