// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import java.nio.charset.StandardCharsets;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.UUID;
import opercle.analysis.watch.TankEvent;

/**
 * What people said that they did at a farm's tanks, in the farm book. The same event told twice is
 * kept once. Reads and writes the disk; for any thread.
 */
public final class TankEventRecords {

  private final FarmBook book;
  private final String farm;

  /** The events of a farm, by its name. */
  public TankEventRecords(FarmBook book, String farm) {
    this.book = book;
    this.farm = farm;
  }

  /** Keeps events; those that are there already are left as they are. */
  public void keep(List<TankEvent> events) {
    book.write(
        "keep what was done at tanks",
        connection -> {
          add(connection, farm, events);
          return events.size();
        });
  }

  static int add(Connection connection, String farm, List<TankEvent> events) throws SQLException {
    int added = 0;
    try (PreparedStatement insert =
        connection.prepareStatement(
            "INSERT INTO tank_event (id, farm, tank, time, kind, by_whom) VALUES (?, ?, ?, ?, ?, ?)"
                + " ON CONFLICT (id) DO NOTHING")) {
      for (TankEvent event : events) {
        insert.setString(1, id(farm, event));
        insert.setString(2, farm);
        insert.setString(3, event.tank());
        insert.setLong(4, BookTime.micros(event.time()));
        insert.setString(5, event.kind().id());
        insert.setString(6, event.by().orElse(null));
        added += insert.executeUpdate();
      }
    }
    return added;
  }

  private static String id(String farm, TankEvent event) {
    String key =
        String.join(
            "\n",
            farm,
            event.tank(),
            event.kind().id(),
            Long.toString(BookTime.micros(event.time())),
            event.by().orElse(""));
    return UUID.nameUUIDFromBytes(key.getBytes(StandardCharsets.UTF_8)).toString();
  }

  /**
   * The events of one tank in a span, oldest first.
   *
   * @param from included
   * @param to not included
   */
  public List<TankEvent> between(String tank, Instant from, Instant to) {
    return book.read(
        "read what was done at tanks",
        connection -> {
          try (PreparedStatement select =
              connection.prepareStatement(
                  "SELECT kind, time, by_whom FROM tank_event"
                      + " WHERE farm = ? AND tank = ? AND time >= ? AND time < ?"
                      + " ORDER BY time, id")) {
            select.setString(1, farm);
            select.setString(2, tank);
            select.setLong(3, BookTime.micros(from));
            select.setLong(4, BookTime.micros(to));
            try (ResultSet row = select.executeQuery()) {
              return events(tank, row);
            }
          }
        });
  }

  private static List<TankEvent> events(String tank, ResultSet row) throws SQLException {
    List<TankEvent> events = new ArrayList<>();
    while (row.next()) {
      String id = row.getString(1);
      TankEvent.Kind kind =
          TankEvent.Kind.of(id)
              .orElseThrow(
                  () ->
                      new SQLException(
                          "'%s' is no event that this version of Opercle knows".formatted(id)));
      events.add(
          new TankEvent(
              tank, kind, BookTime.instant(row.getLong(2)), Optional.ofNullable(row.getString(3))));
    }
    return events;
  }
}
