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
 * kept, once, whenever it comes. So they always say what the readings would, also when those are
 * deleted before them: least, most and count exactly, the mean to the last few digits, which depend
 * on the order of adding up.
 *
 * <p>One batch's worth; for one thread, within one transaction.
 */
final class SqliteRollUps {

  static final long MINUTE_MS = 60_000;

  private record Key(long series, long minute) {}

  /** What one batch adds to one minute. */
  private static final class Part {
    private int count;
    private long firstMs = Long.MAX_VALUE;
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
    part.firstMs = Math.min(part.firstMs, timeMs);
    part.least = Math.min(part.least, value);
    part.most = Math.max(part.most, value);
    part.total += value;
  }

  /**
   * Writes what was counted.
   *
   * @param arePart whether minutes that begin now are one of several spools' part of them
   */
  void write(Connection connection, boolean arePart) throws SQLException {
    try (PreparedStatement upsert =
        connection.prepareStatement(
            """
            INSERT INTO minute (series, minute, count, least, most, total, is_part, is_whole)
            SELECT ?1, ?2, ?3, ?4, ?5, ?6, ?7, kept_from <= ?2 FROM series WHERE id = ?1
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
        upsert.setBoolean(7, arePart);
        upsert.addBatch();
      }
      upsert.executeBatch();
    }
  }

  /** Notes what was counted as not yet sent to the other database. */
  void markUnsent(Connection connection) throws SQLException {
    try (PreparedStatement upsert =
        connection.prepareStatement(
            """
            INSERT INTO unsent (series, minute, from_ms, is_whole)
            SELECT ?1, ?2, ?3, kept_from <= ?2 FROM series WHERE id = ?1
            ON CONFLICT DO UPDATE SET from_ms = min(from_ms, excluded.from_ms),
              since_ms = min(coalesce(since_ms, excluded.from_ms), excluded.from_ms)""")) {
      for (Map.Entry<Key, Part> entry : parts.entrySet()) {
        upsert.setLong(1, entry.getKey().series());
        upsert.setLong(2, entry.getKey().minute());
        upsert.setLong(3, entry.getValue().firstMs);
        upsert.addBatch();
      }
      upsert.executeBatch();
    }
  }
}
