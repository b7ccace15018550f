// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import java.nio.charset.StandardCharsets;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Types;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.UUID;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmGap;
import opercle.analysis.alarm.AlarmId;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;

/** Alarm events to and from their table. */
final class AlarmTable {

  static final String COLUMNS =
      "e.number, e.time, e.tank, e.cause, e.event, e.priority, e.state, e.minutes, e.oxygen,"
          + " e.message, e.since, e.annunciated, e.by_whom, e.until, e.root_tank, e.root_cause,"
          + " e.tanks";

  private static final String INSERT =
      "INSERT INTO alarm_event (id, farm, number, time, tank, cause, event, priority, state,"
          + " minutes, oxygen, message, since, annunciated, by_whom, until, root_tank, root_cause,"
          + " tanks) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
          + " ON CONFLICT (id) DO NOTHING";

  private AlarmTable() {}

  /** Adds events in their order; those that are there already are left as they are. */
  static void add(Connection connection, String farm, List<AlarmEvent> events) throws SQLException {
    long number = lastNumber(connection, farm);
    try (PreparedStatement insert = connection.prepareStatement(INSERT)) {
      for (AlarmEvent event : events) {
        bind(insert, farm, ++number, event);
        insert.addBatch();
      }
      var unused = insert.executeBatch();
    }
  }

  static void add(Connection connection, String farm, AlarmGap gap) throws SQLException {
    try (PreparedStatement insert =
        connection.prepareStatement(
            "INSERT INTO alarm_gap (id, farm, first_time, last_time, events)"
                + " VALUES (?, ?, ?, ?, ?) ON CONFLICT (id) DO NOTHING")) {
      insert.setString(1, id(farm, gap));
      insert.setString(2, farm);
      insert.setLong(3, BookTime.micros(gap.first()));
      insert.setLong(4, BookTime.micros(gap.last()));
      insert.setInt(5, gap.events());
      var unused = insert.executeUpdate();
    }
  }

  private static long lastNumber(Connection connection, String farm) throws SQLException {
    try (PreparedStatement select =
        connection.prepareStatement("SELECT max(number) FROM alarm_event WHERE farm = ?")) {
      select.setString(1, farm);
      try (ResultSet row = select.executeQuery()) {
        return row.next() ? row.getLong(1) : 0L;
      }
    }
  }

  private static void bind(PreparedStatement insert, String farm, long number, AlarmEvent e)
      throws SQLException {
    insert.setString(1, id(farm, e));
    insert.setString(2, farm);
    insert.setLong(3, number);
    insert.setLong(4, BookTime.micros(e.time()));
    insert.setString(5, e.tank());
    insert.setString(6, e.cause().id());
    insert.setString(7, e.event().id());
    insert.setString(8, e.priority().id());
    insert.setString(9, e.state().id());
    set(insert, 10, e.timeInHandMinutes());
    set(insert, 11, e.oxygenMgPerL());
    insert.setString(12, e.message());
    insert.setLong(13, BookTime.micros(e.since()));
    insert.setInt(14, e.annunciated() ? 1 : 0);
    insert.setString(15, e.by().orElse(null));
    if (e.until().isPresent()) {
      insert.setLong(16, BookTime.micros(e.until().get()));
    } else {
      insert.setNull(16, Types.BIGINT);
    }
    insert.setString(17, e.root().map(AlarmId::tank).orElse(null));
    insert.setString(18, e.root().map(root -> root.cause().id()).orElse(null));
    insert.setString(19, String.join(" ", e.tanks()));
  }

  /** The same event has the same id, also when it is told again after a restart. */
  private static String id(String farm, AlarmEvent e) {
    String key =
        String.join(
            "\n",
            farm,
            e.tank(),
            e.cause().id(),
            e.event().id(),
            e.state().id(),
            Long.toString(BookTime.micros(e.time())));
    return UUID.nameUUIDFromBytes(key.getBytes(StandardCharsets.UTF_8)).toString();
  }

  /** The same gap, told again because the answer was lost, has the same id. */
  private static String id(String farm, AlarmGap gap) {
    String key =
        String.join(
            "\n",
            farm,
            Long.toString(BookTime.micros(gap.first())),
            Long.toString(BookTime.micros(gap.last())),
            Integer.toString(gap.events()));
    return UUID.nameUUIDFromBytes(key.getBytes(StandardCharsets.UTF_8)).toString();
  }

  private static void set(PreparedStatement insert, int column, OptionalDouble value)
      throws SQLException {
    // SQLite would keep NaN as NULL, another database as NaN: neither is a figure.
    if (value.isPresent() && Double.isFinite(value.getAsDouble())) {
      insert.setDouble(column, value.getAsDouble());
    } else {
      insert.setNull(column, Types.DOUBLE);
    }
  }

  /** The events of a result, in its order. */
  static List<RecordedEvent> events(ResultSet row) throws SQLException {
    List<RecordedEvent> events = new ArrayList<>();
    while (row.next()) {
      events.add(new RecordedEvent(row.getLong(1), event(row)));
    }
    return events;
  }

  private static AlarmEvent event(ResultSet row) throws SQLException {
    return new AlarmEvent(
        BookTime.instant(row.getLong(2)),
        row.getString(3),
        cause(row.getString(4)),
        word(AlarmEvent.Kind.class, row.getString(5)),
        word(Priority.class, row.getString(6)),
        word(AlarmState.class, row.getString(7)),
        number(row, 8),
        number(row, 9),
        row.getString(10),
        BookTime.instant(row.getLong(11)),
        row.getInt(12) != 0,
        text(row, 13),
        time(row, 14),
        root(row),
        words(row.getString(17)));
  }

  static AlarmCause cause(String id) throws SQLException {
    return AlarmCause.of(id).orElseThrow(() -> unknown("cause", id));
  }

  private static <E extends Enum<E>> E word(Class<E> words, String id) throws SQLException {
    try {
      return Enum.valueOf(words, id.toUpperCase(Locale.ROOT).replace('-', '_'));
    } catch (IllegalArgumentException e) {
      throw unknown(words.getSimpleName(), id);
    }
  }

  private static SQLException unknown(String what, String id) {
    return new SQLException("'%s' is no %s that this version of Opercle knows".formatted(id, what));
  }

  private static OptionalDouble number(ResultSet row, int column) throws SQLException {
    double value = row.getDouble(column);
    return row.wasNull() ? OptionalDouble.empty() : OptionalDouble.of(value);
  }

  private static Optional<String> text(ResultSet row, int column) throws SQLException {
    return Optional.ofNullable(row.getString(column));
  }

  private static Optional<Instant> time(ResultSet row, int column) throws SQLException {
    long micros = row.getLong(column);
    return row.wasNull() ? Optional.empty() : Optional.of(BookTime.instant(micros));
  }

  private static Optional<AlarmId> root(ResultSet row) throws SQLException {
    Optional<String> tank = text(row, 15);
    return tank.isEmpty()
        ? Optional.empty()
        : Optional.of(new AlarmId(tank.get(), cause(row.getString(16))));
  }

  private static List<String> words(String text) {
    return text.isEmpty() ? List.of() : List.of(text.split(" "));
  }
}
