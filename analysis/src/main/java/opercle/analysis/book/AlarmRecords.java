// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.UUID;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmGap;
import opercle.analysis.alarm.AlarmId;
import opercle.analysis.alarm.AlarmVerdict;

/**
 * What the farm book knows of one farm's alarms. Reads the disk; for any thread.
 *
 * <p>Spans are from an instant, included, to another, not included. Everything throws {@link
 * BookException} where the book cannot be read.
 */
public final class AlarmRecords {

  private final FarmBook book;
  private final String farm;

  /**
   * The records of a farm.
   *
   * @param farm its name
   */
  public AlarmRecords(FarmBook book, String farm) {
    this.book = book;
    this.farm = farm;
  }

  /**
   * A place in the history, to go on from.
   *
   * @param time of the last event that was seen
   * @param number of that event
   */
  public record Place(Instant time, long number) {

    /** Just before a recorded event. */
    public static Place before(RecordedEvent recorded) {
      return new Place(recorded.event().time(), recorded.number());
    }
  }

  /**
   * Part of a span, newest first.
   *
   * @param tank of one tank only; empty: of all
   * @param before only what lies before this place; empty: from the end of the span
   * @param most at most so many
   */
  public List<RecordedEvent> page(
      Instant from, Instant to, Optional<String> tank, Optional<Place> before, int most) {
    StringBuilder sql = new StringBuilder("SELECT " + AlarmTable.COLUMNS + " FROM alarm_event e");
    List<Object> values = new ArrayList<>(List.of(farm, micros(from), micros(to)));
    sql.append(" WHERE e.farm = ? AND e.time >= ? AND e.time < ?");
    if (tank.isPresent()) {
      sql.append(" AND e.tank = ?");
      values.add(tank.get());
    }
    if (before.isPresent()) {
      long time = micros(before.get().time());
      sql.append(" AND (e.time < ? OR (e.time = ? AND e.number < ?))");
      values.addAll(List.of(time, time, before.get().number()));
    }
    sql.append(" ORDER BY e.time DESC, e.number DESC LIMIT ?");
    values.add((long) most);
    return query("read alarms", sql.toString(), values, AlarmTable::events);
  }

  /** Everything in a span, oldest first. */
  public List<AlarmEvent> between(Instant from, Instant to) {
    return events(
        "WHERE e.farm = ? AND e.time >= ? AND e.time < ? ORDER BY e.time, e.number",
        List.of(farm, micros(from), micros(to)));
  }

  /**
   * Everything that happened to the occurrences that were alive in a span, oldest first: those
   * raised before it and not over by then as well.
   */
  public List<AlarmEvent> touching(Instant from, Instant to) {
    return events(
        """
        JOIN (SELECT DISTINCT tank, cause, since FROM alarm_event
               WHERE farm = ? AND time >= ? AND time < ?
               UNION
               SELECT l.tank, l.cause, l.since FROM alarm_event l
               JOIN (SELECT tank, cause, max(number) AS number FROM alarm_event
                     WHERE farm = ? AND time < ? GROUP BY tank, cause) n
                 ON n.number = l.number
               WHERE l.farm = ? AND l.state <> 'normal') o
           ON o.tank = e.tank AND o.cause = e.cause AND o.since = e.since
         WHERE e.farm = ? AND e.time < ? ORDER BY e.time, e.number""",
        List.of(farm, micros(from), micros(to), farm, micros(from), farm, farm, micros(to)));
  }

  /** The latest event of every alarm that stands by the book, oldest first. */
  public List<AlarmEvent> standing() {
    return events(
        """
        JOIN (SELECT max(number) AS number FROM alarm_event
               WHERE farm = ? GROUP BY tank, cause) newest ON newest.number = e.number
         WHERE e.farm = ? AND e.state <> 'normal' ORDER BY e.time, e.number""",
        List.of(farm, farm));
  }

  /** The stretches with missing events that touch a span, oldest first. */
  public List<AlarmGap> gaps(Instant from, Instant to) {
    return query(
        "read what is missing",
        "SELECT first_time, last_time, events FROM alarm_gap"
            + " WHERE farm = ? AND last_time >= ? AND first_time < ? ORDER BY first_time",
        List.of(farm, micros(from), micros(to)),
        row -> {
          List<AlarmGap> gaps = new ArrayList<>();
          while (row.next()) {
            gaps.add(
                new AlarmGap(
                    BookTime.instant(row.getLong(1)),
                    BookTime.instant(row.getLong(2)),
                    row.getInt(3)));
          }
          return gaps;
        });
  }

  /**
   * The verdicts on occurrences that were raised in a span, in the order in which they were given.
   */
  public List<AlarmVerdict> verdicts(Instant from, Instant to) {
    return query(
        "read verdicts",
        "SELECT tank, cause, since, was_true, by_whom, time FROM alarm_verdict"
            + " WHERE farm = ? AND since >= ? AND since < ? ORDER BY time",
        List.of(farm, micros(from), micros(to)),
        row -> {
          List<AlarmVerdict> verdicts = new ArrayList<>();
          while (row.next()) {
            verdicts.add(
                new AlarmVerdict(
                    new AlarmId(row.getString(1), AlarmTable.cause(row.getString(2))),
                    BookTime.instant(row.getLong(3)),
                    row.getInt(4) != 0,
                    row.getString(5),
                    BookTime.instant(row.getLong(6))));
          }
          return verdicts;
        });
  }

  /** Whether verdicts can be given here: the book was opened for writing. */
  public boolean takesVerdicts() {
    return book.isWritable();
  }

  /**
   * Keeps what a person says of an occurrence. Which one is told by its {@code since} to the
   * millisecond, as JSON tells it.
   *
   * @return false if the book knows of no such occurrence; nothing is kept then
   * @throws UnsupportedOperationException if the book was opened for reading only
   */
  public boolean judge(AlarmVerdict verdict) {
    return book.write("take a verdict", connection -> judge(connection, verdict));
  }

  private boolean judge(Connection connection, AlarmVerdict verdict) throws SQLException {
    try (PreparedStatement insert =
        connection.prepareStatement(
            """
            INSERT INTO alarm_verdict (id, farm, tank, cause, since, time, was_true, by_whom)
            SELECT ?, e.farm, e.tank, e.cause, e.since, ?, ?, ? FROM alarm_event e
            WHERE e.farm = ? AND e.tank = ? AND e.cause = ? AND e.since >= ? AND e.since < ?
            ORDER BY e.number LIMIT 1""")) {
      insert.setString(1, UUID.randomUUID().toString());
      insert.setLong(2, micros(verdict.time()));
      insert.setInt(3, verdict.wasTrue() ? 1 : 0);
      insert.setString(4, verdict.by());
      insert.setString(5, farm);
      insert.setString(6, verdict.alarm().tank());
      insert.setString(7, verdict.alarm().cause().id());
      Instant since = verdict.since().truncatedTo(ChronoUnit.MILLIS);
      insert.setLong(8, micros(since));
      insert.setLong(9, micros(since.plusMillis(1)));
      return insert.executeUpdate() == 1;
    }
  }

  private List<AlarmEvent> events(String joinAndWhere, List<Object> values) {
    return query(
            "read alarms",
            "SELECT " + AlarmTable.COLUMNS + " FROM alarm_event e " + joinAndWhere,
            values,
            AlarmTable::events)
        .stream()
        .map(RecordedEvent::event)
        .toList();
  }

  private interface Reading<T> {
    T of(ResultSet rows) throws SQLException;
  }

  private <T> T query(String what, String sql, List<Object> values, Reading<T> reading) {
    return book.read(
        what,
        connection -> {
          try (PreparedStatement select = connection.prepareStatement(sql)) {
            for (int i = 0; i < values.size(); i++) {
              select.setObject(i + 1, values.get(i));
            }
            try (ResultSet rows = select.executeQuery()) {
              return reading.of(rows);
            }
          }
        });
  }

  private static Long micros(Instant time) {
    return BookTime.micros(time);
  }
}
