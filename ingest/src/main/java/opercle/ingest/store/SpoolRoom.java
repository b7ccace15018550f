// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import opercle.ingest.reading.Series;
import opercle.ingest.store.GivenUp.What;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Keeps a spool within a bound, whatever comes. Room is made in this order, always the oldest
 * first: what the other database has already; then of each minute all readings but the lowest and
 * the highest; then those, so that the minute's lowest, highest, mean and count are left; last
 * those too. So a dip is visible for as long as anything is.
 */
final class SpoolRoom {

  private static final Logger LOG = LoggerFactory.getLogger(SpoolRoom.class);

  // What is left of a minute's readings; the column "thinned".
  private static final int ALL_READINGS = 0;
  private static final int LOWEST_AND_HIGHEST = 1;
  private static final int NO_READING = 2;

  private static final int MINUTES_AT_ONCE = 100;
  private static final int SENT_AT_ONCE = 5_000;

  /** Once it is full, so much of the bound is freed, in bites between batches of readings. */
  private static final double FREED = 0.05;

  private static final long LONGEST_BITE_NANOS = 100_000_000;

  private final SqliteReadings store;
  private final long mostBytes;
  private boolean isMaking;
  private boolean isSentGone;

  /**
   * @param mostBytes of the file, beside what a bite takes
   */
  SpoolRoom(SqliteReadings store, long mostBytes) {
    this.store = store;
    this.mostBytes = mostBytes;
  }

  /** The file's pages in use, in bytes; free ones are used again. */
  long usedBytes() {
    return store.write("see how large it is", SpoolRoom::usedBytes);
  }

  private static long usedBytes(Connection c) throws SQLException {
    long pages = SqliteTrim.number(c, "PRAGMA page_count", 0);
    long free = SqliteTrim.number(c, "PRAGMA freelist_count", 0);
    return (pages - free) * SqliteTrim.number(c, "PRAGMA page_size", 0);
  }

  /**
   * Makes room if there is too little, for a tenth of a second at most; the next call goes on. By
   * the thread that brings the readings.
   */
  void make() {
    if (!isMaking && usedBytes() <= mostBytes) {
      return;
    }
    isMaking = true;
    long started = System.nanoTime();
    boolean more = true;
    while (more && usedBytes() > (1 - FREED) * mostBytes) {
      if (System.nanoTime() - started > LONGEST_BITE_NANOS) {
        return;
      }
      more = makeSome();
    }
    isMaking = false;
    isSentGone = false;
  }

  private boolean makeSome() {
    if (!isSentGone && dropSent()) {
      return true;
    }
    if (!isSentGone) {
      isSentGone = true;
      LOG.warn(
          "the spool has reached its {} MB and nothing in it has been sent: the oldest readings are thinned to each minute's lowest and highest; so far {}",
          mostBytes / 1_000_000,
          givenUp());
    }
    return store.write("make room", SpoolRoom::giveUpSome);
  }

  private boolean dropSent() {
    for (Series series : store.series()) {
      if (store.deleteSomeSent(series, SqliteTrim.END_OF_TIME, SENT_AT_ONCE) > 0) {
        return true;
      }
    }
    return false;
  }

  private record Mark(long series, long minute) {
    long startMs() {
      return minute * SqliteRollUps.MINUTE_MS;
    }

    long endMs() {
      return startMs() + SqliteRollUps.MINUTE_MS;
    }
  }

  /** One bite of the gentlest kind that is left; false if there is nothing at all. */
  private static boolean giveUpSome(Connection c) throws SQLException {
    for (int thinned = ALL_READINGS; thinned <= NO_READING; thinned++) {
      List<Mark> marks = marks(c, thinned);
      for (Mark mark : marks) {
        giveUp(c, thinned, mark);
      }
      if (!marks.isEmpty()) {
        return true;
      }
    }
    return false;
  }

  private static List<Mark> marks(Connection c, int thinned) throws SQLException {
    List<Mark> marks = new ArrayList<>();
    try (PreparedStatement select =
        c.prepareStatement(
            "SELECT series, minute FROM unsent WHERE thinned = ? ORDER BY minute LIMIT ?")) {
      select.setInt(1, thinned);
      select.setInt(2, MINUTES_AT_ONCE);
      try (ResultSet row = select.executeQuery()) {
        while (row.next()) {
          marks.add(new Mark(row.getLong(1), row.getLong(2)));
        }
      }
    }
    return marks;
  }

  private static void giveUp(Connection c, int thinned, Mark mark) throws SQLException {
    String ofMinute = " FROM reading WHERE series = ?1 AND time >= ?2 AND time < ?3";
    switch (thinned) {
      case ALL_READINGS -> {
        int gone =
            SqliteTrim.run(
                c,
                "DELETE"
                    + ofMinute
                    + " AND time NOT IN (SELECT time FROM (SELECT time"
                    + ofMinute
                    + " ORDER BY value, time LIMIT 1)) AND time NOT IN (SELECT time FROM (SELECT time"
                    + ofMinute
                    + " ORDER BY value DESC, time LIMIT 1))",
                mark.series(),
                mark.startMs(),
                mark.endMs());
        mark(c, mark, LOWEST_AND_HIGHEST);
        count(c, What.THINNED, gone, mark.startMs(), mark.endMs() - 1);
      }
      case LOWEST_AND_HIGHEST -> {
        int gone =
            SqliteTrim.run(c, "DELETE" + ofMinute, mark.series(), mark.startMs(), mark.endMs());
        mark(c, mark, NO_READING);
        count(c, What.SUMMARY_LEFT, gone, mark.startMs(), mark.endMs() - 1);
      }
      default -> {
        long gone =
            SqliteTrim.number(
                c,
                "SELECT count FROM minute WHERE series = ? AND minute = ?",
                0,
                mark.series(),
                mark.minute());
        SqliteTrim.run(c, "DELETE" + ofMinute, mark.series(), mark.startMs(), mark.endMs());
        for (String table : List.of("minute", "unsent")) {
          SqliteTrim.run(
              c,
              "DELETE FROM " + table + " WHERE series = ? AND minute = ?",
              mark.series(),
              mark.minute());
        }
        SqliteTrim.keptFrom(c, mark.series(), mark.minute() + 1);
        count(c, What.LOST, gone, mark.startMs(), mark.endMs() - 1);
      }
    }
  }

  private static void mark(Connection c, Mark mark, int thinned) throws SQLException {
    SqliteTrim.run(
        c,
        "UPDATE unsent SET thinned = ? WHERE series = ? AND minute = ?",
        thinned,
        mark.series(),
        mark.minute());
  }

  /** Adds to what was given up. */
  static int count(Connection c, What what, long readings, long firstMs, long lastMs)
      throws SQLException {
    if (readings == 0) {
      return 0;
    }
    try (PreparedStatement upsert =
        c.prepareStatement(
            """
            INSERT INTO given_up (what, readings, first_ms, last_ms) VALUES (?, ?, ?, ?)
            ON CONFLICT DO UPDATE SET readings = readings + excluded.readings,
              first_ms = min(first_ms, excluded.first_ms),
              last_ms = max(last_ms, excluded.last_ms)""")) {
      upsert.setString(1, what.name());
      upsert.setLong(2, readings);
      upsert.setLong(3, firstMs);
      upsert.setLong(4, lastMs);
      return upsert.executeUpdate();
    }
  }

  /** All that was ever given up. */
  List<GivenUp> givenUp() {
    return store.write(
        "read what was given up",
        c -> {
          List<GivenUp> all = new ArrayList<>();
          try (Statement statement = c.createStatement();
              ResultSet row =
                  statement.executeQuery(
                      "SELECT what, readings, first_ms, last_ms FROM given_up ORDER BY what")) {
            while (row.next()) {
              all.add(
                  new GivenUp(
                      What.valueOf(row.getString(1)),
                      row.getLong(2),
                      Instant.ofEpochMilli(row.getLong(3)),
                      Instant.ofEpochMilli(row.getLong(4))));
            }
          }
          return all;
        });
  }
}
