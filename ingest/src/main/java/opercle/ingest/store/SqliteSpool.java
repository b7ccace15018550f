// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;

/**
 * What of a SQLite store another database lacks: a queue of minutes, a mark for each series and
 * minute that says from which reading on. Marks are made in the transaction that keeps the
 * readings, and go only when the other database has them, so that a process killed at any moment
 * sends some twice and none never.
 *
 * <p>All methods share the store's writing lock.
 */
final class SqliteSpool {

  private static final int MOST_MINUTES = 1_000;

  private final SqliteReadings store;

  SqliteSpool(SqliteReadings store) {
    this.store = store;
  }

  /**
   * What to send next, the oldest minutes first.
   *
   * @param mostReadings about how many readings
   */
  List<Unsent> oldest(int mostReadings) {
    return take("ORDER BY minute LIMIT " + MOST_MINUTES, mostReadings);
  }

  /** The newest minute. */
  List<Unsent> newest() {
    return take("ORDER BY minute DESC LIMIT 1", 1);
  }

  private record Mark(long series, long minute, long fromMs, boolean isWhole) {}

  private List<Unsent> take(String which, int mostReadings) {
    return store.write(
        "read what is to be sent",
        c -> {
          List<Unsent> taken = new ArrayList<>();
          Map<Long, Optional<Series>> series = new HashMap<>();
          int readings = 0;
          for (Mark mark : marks(c, which)) {
            if (readings >= mostReadings) {
              break;
            }
            if (!series.containsKey(mark.series())) {
              series.put(mark.series(), series(c, mark.series()));
            }
            Optional<Series> of = series.get(mark.series());
            if (of.isPresent()) {
              Unsent unsent = unsent(c, mark, of.get());
              readings += 1 + unsent.readings().size();
              taken.add(unsent);
              // From here on a reading that comes for this minute is noted beside.
              SqliteTrim.run(
                  c,
                  "UPDATE unsent SET since_ms = NULL WHERE series = ? AND minute = ?",
                  mark.series(),
                  mark.minute());
            }
          }
          return taken;
        });
  }

  private static List<Mark> marks(Connection c, String which) throws SQLException {
    List<Mark> marks = new ArrayList<>();
    try (PreparedStatement select =
            c.prepareStatement("SELECT series, minute, from_ms, is_whole FROM unsent " + which);
        ResultSet row = select.executeQuery()) {
      while (row.next()) {
        marks.add(new Mark(row.getLong(1), row.getLong(2), row.getLong(3), row.getBoolean(4)));
      }
    }
    return marks;
  }

  /** A series by its id; empty if only a newer version knows its quantity. */
  private static Optional<Series> series(Connection c, long id) throws SQLException {
    try (PreparedStatement select =
        c.prepareStatement("SELECT tank, quantity, probe FROM series WHERE id = ?")) {
      select.setLong(1, id);
      try (ResultSet row = select.executeQuery()) {
        String tank = row.getString(1);
        String probe = row.getString(3);
        return Quantity.of(row.getString(2)).map(q -> new Series(tank, q, probe));
      }
    }
  }

  private static Unsent unsent(Connection c, Mark mark, Series series) throws SQLException {
    List<Reading> readings = new ArrayList<>();
    try (PreparedStatement select =
        c.prepareStatement(
            "SELECT time, value FROM reading WHERE series = ? AND time >= ? AND time < ?"
                + " ORDER BY time")) {
      select.setLong(1, mark.series());
      select.setLong(2, mark.fromMs());
      select.setLong(3, (mark.minute() + 1) * SqliteRollUps.MINUTE_MS);
      try (ResultSet row = select.executeQuery()) {
        while (row.next()) {
          readings.add(
              new Reading(
                  series.tank(),
                  series.quantity(),
                  series.probe(),
                  Instant.ofEpochMilli(row.getLong(1)),
                  row.getDouble(2)));
        }
      }
    }
    Known known = known(c, mark);
    return new Unsent(
        mark.series(),
        series,
        mark.minute(),
        readings,
        known.summary(),
        known.isWhole(),
        known.isPart());
  }

  /** A minute as the spool knows it. */
  private record Known(Optional<Bucket> summary, boolean isWhole, boolean isPart) {}

  private static Known known(Connection c, Mark mark) throws SQLException {
    try (PreparedStatement select =
        c.prepareStatement(
            "SELECT least, most, total, count, coalesce(is_whole, ?), is_part FROM minute"
                + " WHERE series = ? AND minute = ?")) {
      select.setBoolean(1, mark.isWhole());
      select.setLong(2, mark.series());
      select.setLong(3, mark.minute());
      try (ResultSet row = select.executeQuery()) {
        if (!row.next()) {
          return new Known(Optional.empty(), mark.isWhole(), false);
        }
        Instant start = Instant.ofEpochMilli(mark.minute() * SqliteRollUps.MINUTE_MS);
        Bucket summary =
            new Bucket(
                start,
                start.plusMillis(SqliteRollUps.MINUTE_MS),
                row.getDouble(1),
                row.getDouble(2),
                row.getDouble(3) / row.getLong(4),
                row.getLong(4));
        return new Known(Optional.of(summary), row.getBoolean(5), row.getBoolean(6));
      }
    }
  }

  /**
   * Adds to a minute what this spool, or one before it in its place, had sent of it and knows no
   * more; once and for good, so that sending it again after a crash counts nothing twice.
   *
   * @param before what the other database has of it
   * @param times of the readings that it has: those count there already
   * @return the same, whole
   */
  Unsent made(Unsent item, Optional<Bucket> before, Set<Instant> times) {
    Mark mark = new Mark(item.id(), item.minute(), item.start().toEpochMilli(), false);
    return store.write(
        "add what was sent of a minute before",
        c -> {
          if (!known(c, mark).isWhole()) {
            add(c, mark, before, unsent(c, mark, item.series()).readings(), times);
          }
          Known now = known(c, mark);
          return new Unsent(
              item.id(),
              item.series(),
              item.minute(),
              item.readings(),
              now.summary(),
              true,
              now.isPart());
        });
  }

  private static void add(
      Connection c, Mark mark, Optional<Bucket> before, List<Reading> here, Set<Instant> times)
      throws SQLException {
    double[] twice =
        here.stream().filter(r -> times.contains(r.time())).mapToDouble(Reading::value).toArray();
    long more = before.map(Bucket::count).orElse(0L) - twice.length;
    try (PreparedStatement update =
        c.prepareStatement(
            """
            UPDATE minute SET is_whole = 1, count = count + ?3, total = total + ?4,
              least = min(least, ?5), most = max(most, ?6) WHERE series = ?1 AND minute = ?2""")) {
      update.setLong(1, mark.series());
      update.setLong(2, mark.minute());
      update.setLong(3, more);
      update.setDouble(
          4, before.map(b -> b.mean() * b.count()).orElse(0.0) - Arrays.stream(twice).sum());
      update.setDouble(5, before.map(Bucket::min).orElse(Double.POSITIVE_INFINITY));
      update.setDouble(6, before.map(Bucket::max).orElse(Double.NEGATIVE_INFINITY));
      int unused = update.executeUpdate();
    }
    // Where another had all of its readings there is no part of ours.
    SqliteTrim.run(
        c,
        "DELETE FROM minute WHERE series = ? AND minute = ? AND count <= 0",
        mark.series(),
        mark.minute());
  }

  /** The other database has these now. What came for them meanwhile stays to be sent. */
  void sent(List<Unsent> items) {
    int unused = store.write("note what was sent", c -> unmark(c, items));
  }

  /** The other database will never have these. */
  void refused(List<Unsent> items) {
    int unused =
        store.write(
            "note what was refused",
            c -> {
              for (Unsent item : items) {
                long startMs = item.start().toEpochMilli();
                SpoolRoom.count(
                    c,
                    GivenUp.What.REFUSED,
                    item.readings().size(),
                    startMs,
                    startMs + SqliteRollUps.MINUTE_MS - 1);
              }
              return unmark(c, items);
            });
  }

  private static int unmark(Connection c, List<Unsent> items) throws SQLException {
    for (Unsent item : items) {
      SqliteTrim.run(
          c,
          "DELETE FROM unsent WHERE series = ? AND minute = ? AND since_ms IS NULL",
          item.id(),
          item.minute());
      SqliteTrim.run(
          c,
          "UPDATE unsent SET from_ms = since_ms, since_ms = NULL"
              + " WHERE series = ? AND minute = ? AND since_ms IS NOT NULL",
          item.id(),
          item.minute());
    }
    return items.size();
  }

  /** The oldest minute that waits to be sent; empty if none does. */
  Optional<Instant> waitingSince() {
    return store.write(
        "look for what is to be sent",
        c -> {
          long none = Long.MIN_VALUE;
          long minute = SqliteTrim.number(c, "SELECT min(minute) FROM unsent", none);
          return minute == none
              ? Optional.empty()
              : Optional.of(Instant.ofEpochMilli(minute * SqliteRollUps.MINUTE_MS));
        });
  }
}
