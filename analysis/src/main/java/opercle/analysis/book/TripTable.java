// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import opercle.analysis.Band;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.stock.Species;
import opercle.analysis.trip.MeasuredDemand;
import opercle.analysis.trip.PastDemand;
import opercle.analysis.trip.Trip;
import opercle.analysis.trip.TripEntry;
import opercle.analysis.tripfile.EntryForm;
import opercle.analysis.tripfile.TripFile;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;

/** What belongs to trips, to and from its tables. */
final class TripTable {

  private static final int AT_ONCE = 1_000;

  private TripTable() {}

  static void addEntries(
      Connection connection, String farm, String trip, String tank, List<TripEntry> entries)
      throws SQLException {
    long number = lastNumber(connection, farm);
    try (PreparedStatement insert =
        connection.prepareStatement(
            "INSERT INTO trip_entry (farm, trip, id, number, kind, tank, time, by_whom, corrects,"
                + " content) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)")) {
      for (TripEntry entry : entries) {
        insert.setString(1, farm);
        insert.setString(2, trip);
        insert.setString(3, entry.id());
        insert.setLong(4, ++number);
        insert.setString(5, EntryForm.kind(entry));
        insert.setString(6, tank);
        insert.setLong(7, BookTime.micros(entry.time()));
        insert.setString(8, entry.by());
        insert.setString(9, entry.corrects().orElse(null));
        insert.setString(10, EntryForm.text(entry));
        insert.addBatch();
      }
      var unused = insert.executeBatch();
    }
  }

  private static long lastNumber(Connection connection, String farm) throws SQLException {
    try (PreparedStatement select =
        connection.prepareStatement("SELECT max(number) FROM trip_entry WHERE farm = ?")) {
      select.setString(1, farm);
      try (ResultSet row = select.executeQuery()) {
        return row.next() ? row.getLong(1) : 0L;
      }
    }
  }

  /** Trips of a tank that were neither ended nor withdrawn. */
  static List<String> notEnded(Connection connection, String farm, String tank)
      throws SQLException {
    try (PreparedStatement select =
        connection.prepareStatement(
            """
            SELECT DISTINCT l.trip FROM trip_entry l
            WHERE l.farm = ? AND l.tank = ? AND l.kind = 'loaded'
              AND NOT EXISTS (SELECT 1 FROM trip_entry o
                              WHERE o.farm = l.farm AND o.trip = l.trip
                                AND o.kind IN ('unloaded', 'withdrawn'))""")) {
      select.setString(1, farm);
      select.setString(2, tank);
      try (ResultSet row = select.executeQuery()) {
        List<String> trips = new ArrayList<>();
        while (row.next()) {
          trips.add(row.getString(1));
        }
        return trips;
      }
    }
  }

  /** Trips of a tank of which something was written for a time from then on and before then. */
  static List<String> ofTank(
      Connection connection, String farm, String tank, Instant from, Instant to)
      throws SQLException {
    try (PreparedStatement select =
        connection.prepareStatement(
            """
            SELECT DISTINCT trip FROM trip_entry
            WHERE farm = ? AND tank = ? AND time >= ? AND time < ?""")) {
      select.setString(1, farm);
      select.setString(2, tank);
      select.setLong(3, BookTime.micros(from));
      select.setLong(4, BookTime.micros(to));
      try (ResultSet row = select.executeQuery()) {
        List<String> trips = new ArrayList<>();
        while (row.next()) {
          trips.add(row.getString(1));
        }
        return trips;
      }
    }
  }

  static int addReadings(Connection connection, String farm, String trip, List<Reading> readings)
      throws SQLException {
    long before = count(connection, "trip_reading", farm, trip);
    try (PreparedStatement insert =
        connection.prepareStatement(
            "INSERT INTO trip_reading (farm, trip, quantity, probe, time, value)"
                + " VALUES (?, ?, ?, ?, ?, ?)"
                + " ON CONFLICT (farm, trip, quantity, probe, time) DO NOTHING")) {
      int waiting = 0;
      for (Reading r : readings) {
        insert.setString(1, farm);
        insert.setString(2, trip);
        insert.setString(3, r.quantity().id());
        insert.setString(4, r.probe());
        insert.setLong(5, BookTime.micros(r.time()));
        insert.setDouble(6, r.value());
        insert.addBatch();
        if (++waiting % AT_ONCE == 0) {
          var unused = insert.executeBatch();
        }
      }
      var unused = insert.executeBatch();
    }
    return (int) (count(connection, "trip_reading", farm, trip) - before);
  }

  static int addAlarms(Connection connection, String farm, String trip, List<AlarmEvent> alarms)
      throws SQLException {
    long before = count(connection, "trip_alarm", farm, trip);
    try (PreparedStatement insert =
        connection.prepareStatement(
            "INSERT INTO trip_alarm (farm, trip, time, cause, event, state, content)"
                + " VALUES (?, ?, ?, ?, ?, ?, ?)"
                + " ON CONFLICT (farm, trip, time, cause, event, state) DO NOTHING")) {
      for (AlarmEvent a : alarms) {
        insert.setString(1, farm);
        insert.setString(2, trip);
        insert.setLong(3, BookTime.micros(a.time()));
        insert.setString(4, a.cause().id());
        insert.setString(5, a.event().id());
        insert.setString(6, a.state().id());
        insert.setString(7, TripFile.alarmText(a));
        insert.addBatch();
      }
      var unused = insert.executeBatch();
    }
    return (int) (count(connection, "trip_alarm", farm, trip) - before);
  }

  private static long count(Connection connection, String table, String farm, String trip)
      throws SQLException {
    try (PreparedStatement select =
        connection.prepareStatement(
            "SELECT count(*) FROM " + table + " WHERE farm = ? AND trip = ?")) {
      select.setString(1, farm);
      select.setString(2, trip);
      try (ResultSet row = select.executeQuery()) {
        return row.next() ? row.getLong(1) : 0L;
      }
    }
  }

  static List<Reading> readings(Connection connection, String farm, Trip trip) throws SQLException {
    try (PreparedStatement select =
        connection.prepareStatement(
            "SELECT quantity, probe, time, value FROM trip_reading"
                + " WHERE farm = ? AND trip = ? ORDER BY time, quantity, probe")) {
      select.setString(1, farm);
      select.setString(2, trip.id());
      try (ResultSet row = select.executeQuery()) {
        List<Reading> readings = new ArrayList<>();
        while (row.next()) {
          String id = row.getString(1);
          readings.add(
              new Reading(
                  trip.tank().id(),
                  Quantity.of(id).orElseThrow(() -> unknown("quantity", id)),
                  row.getString(2),
                  BookTime.instant(row.getLong(3)),
                  row.getDouble(4)));
        }
        return readings;
      }
    }
  }

  static List<AlarmEvent> alarms(Connection connection, String farm, Trip trip)
      throws SQLException {
    try (PreparedStatement select =
        connection.prepareStatement(
            "SELECT content FROM trip_alarm WHERE farm = ? AND trip = ? ORDER BY time")) {
      select.setString(1, farm);
      select.setString(2, trip.id());
      try (ResultSet row = select.executeQuery()) {
        List<AlarmEvent> alarms = new ArrayList<>();
        while (row.next()) {
          alarms.add(TripFile.parseAlarm(row.getString(1), trip.tank().id()));
        }
        return alarms;
      }
    }
  }

  static void learn(Connection connection, String farm, PastDemand d) throws SQLException {
    try (PreparedStatement insert =
        connection.prepareStatement(
            """
            INSERT INTO trip_demand
              (farm, trip, time, species, mean_kg, temperature, way, low, likely, high)
            VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
            ON CONFLICT (farm, trip) DO UPDATE SET time = excluded.time,
              species = excluded.species, mean_kg = excluded.mean_kg,
              temperature = excluded.temperature, way = excluded.way, low = excluded.low,
              likely = excluded.likely, high = excluded.high""")) {
      insert.setString(1, farm);
      insert.setString(2, d.trip());
      insert.setLong(3, BookTime.micros(d.at()));
      insert.setString(4, d.species().id());
      insert.setDouble(5, d.meanMassKg());
      insert.setDouble(6, d.temperatureC());
      insert.setString(7, d.way().name().toLowerCase(Locale.ROOT));
      insert.setDouble(8, d.mgPerKgPerHour().low());
      insert.setDouble(9, d.mgPerKgPerHour().likely());
      insert.setDouble(10, d.mgPerKgPerHour().high());
      var unused = insert.executeUpdate();
    }
  }

  static void unlearn(Connection connection, String farm, String trip) throws SQLException {
    try (PreparedStatement delete =
        connection.prepareStatement("DELETE FROM trip_demand WHERE farm = ? AND trip = ?")) {
      delete.setString(1, farm);
      delete.setString(2, trip);
      var unused = delete.executeUpdate();
    }
  }

  static List<PastDemand> demands(Connection connection, String farm) throws SQLException {
    try (PreparedStatement select =
        connection.prepareStatement(
            "SELECT trip, time, species, mean_kg, temperature, way, low, likely, high"
                + " FROM trip_demand WHERE farm = ? ORDER BY time, trip")) {
      select.setString(1, farm);
      try (ResultSet row = select.executeQuery()) {
        List<PastDemand> demands = new ArrayList<>();
        while (row.next()) {
          String species = row.getString(3);
          demands.add(
              new PastDemand(
                  row.getString(1),
                  BookTime.instant(row.getLong(2)),
                  Species.of(species).orElseThrow(() -> unknown("species", species)),
                  row.getDouble(4),
                  row.getDouble(5),
                  way(row.getString(6)),
                  new Band(row.getDouble(7), row.getDouble(8), row.getDouble(9))));
        }
        return demands;
      }
    }
  }

  /**
   * From when to when each trip was in which tank, by its id, as it holds: what was corrected does
   * not count, or a year that was mistyped would take up the tank for a year. Of a withdrawn trip
   * too.
   */
  static Map<String, TripSpan> spans(Connection connection, String farm) throws SQLException {
    try (PreparedStatement select =
        connection.prepareStatement(
            """
            SELECT e.trip, e.tank, min(e.time), max(e.time) FROM trip_entry e
            WHERE e.farm = ? AND e.kind IN ('loaded', 'unloaded')
              AND NOT EXISTS (SELECT 1 FROM trip_entry c
                              WHERE c.farm = e.farm AND c.trip = e.trip
                                AND c.kind = e.kind AND c.number > e.number)
            GROUP BY e.trip, e.tank""")) {
      select.setString(1, farm);
      try (ResultSet row = select.executeQuery()) {
        Map<String, TripSpan> spans = new HashMap<>();
        while (row.next()) {
          spans.put(
              row.getString(1),
              new TripSpan(
                  row.getString(2),
                  BookTime.instant(row.getLong(3)),
                  BookTime.instant(row.getLong(4))));
        }
        return spans;
      }
    }
  }

  private static MeasuredDemand.Way way(String id) throws SQLException {
    try {
      return MeasuredDemand.Way.valueOf(id.toUpperCase(Locale.ROOT));
    } catch (IllegalArgumentException e) {
      throw unknown("way of measuring demand", id);
    }
  }

  private static SQLException unknown(String what, String id) {
    return new SQLException("'%s' is no %s that this version of Opercle knows".formatted(id, what));
  }
}
