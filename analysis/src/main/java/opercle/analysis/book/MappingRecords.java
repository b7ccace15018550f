// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Types;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import opercle.ingest.payload.TopicMapping;
import opercle.ingest.reading.Quantity;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Which topic feeds which tank, as people assigned it, in the farm book. Reads and writes the disk;
 * for any thread. Everything throws {@link BookException} where the book cannot be used.
 */
public final class MappingRecords {

  private static final Logger LOG = LoggerFactory.getLogger(MappingRecords.class);

  private final FarmBook book;

  /** The records of a book. */
  public MappingRecords(FarmBook book) {
    this.book = book;
  }

  /**
   * An assignment.
   *
   * @param mapping from which topic and where in its message, to which tank and quantity
   * @param by who assigned it
   * @param time when
   */
  public record Assigned(TopicMapping mapping, String by, Instant time) {}

  /** The assignments that hold, oldest first. */
  public List<Assigned> assigned() {
    return book.read(
        "read which topic feeds which tank",
        connection -> {
          try (PreparedStatement select =
                  connection.prepareStatement(
                      """
                      SELECT m.topic, m.pointer, m.tank, m.quantity, m.probe, m.unit, m.by_whom, m.time
                      FROM topic_mapping m
                      JOIN (SELECT max(number) AS number FROM topic_mapping GROUP BY topic, pointer) n
                        ON n.number = m.number
                      WHERE m.tank IS NOT NULL ORDER BY m.number""");
              ResultSet rows = select.executeQuery()) {
            List<Assigned> assigned = new ArrayList<>();
            while (rows.next()) {
              perhapsAssigned(rows).ifPresent(assigned::add);
            }
            return assigned;
          }
        });
  }

  /** Empty, and logged, where an earlier version took what none can use: the others must count. */
  private static Optional<Assigned> perhapsAssigned(ResultSet row) throws SQLException {
    try {
      return Optional.of(assigned(row));
    } catch (IllegalArgumentException e) {
      LOG.warn(
          "the farm book assigns the topic '{}' to tank {}, which cannot be used and is left out: {}",
          row.getString(1),
          row.getString(3),
          e.getMessage());
      return Optional.empty();
    }
  }

  private static Assigned assigned(ResultSet row) throws SQLException {
    Quantity quantity =
        Quantity.of(row.getString(4))
            .orElseThrow(() -> new IllegalArgumentException("it measures nothing that is known"));
    return new Assigned(
        new TopicMapping(
            row.getString(1),
            row.getString(3),
            quantity,
            row.getString(5),
            row.getString(2),
            Optional.empty(),
            Optional.ofNullable(row.getString(6)),
            Optional.empty()),
        row.getString(7),
        BookTime.instant(row.getLong(8)));
  }

  /** Assigns a topic anew; on the disk when this returns. */
  public void assign(TopicMapping mapping, String by, Instant time) {
    add(mapping.topicFilter(), mapping.valuePointer(), Optional.of(mapping), by, time);
  }

  /** Takes an assignment back; on the disk when this returns. */
  public void takeBack(String topic, String pointer, String by, Instant time) {
    add(topic, pointer, Optional.empty(), by, time);
  }

  private void add(
      String topic, String pointer, Optional<TopicMapping> mapping, String by, Instant time) {
    int unused =
        book.write(
            "take which topic feeds which tank",
            connection -> {
              try (PreparedStatement insert =
                  connection.prepareStatement(
                      """
                      INSERT INTO topic_mapping
                        (number, time, by_whom, topic, pointer, tank, quantity, probe, unit)
                      SELECT coalesce(max(number), 0) + 1, ?, ?, ?, ?, ?, ?, ?, ? FROM topic_mapping""")) {
                insert.setLong(1, BookTime.micros(time));
                insert.setString(2, by);
                insert.setString(3, topic);
                insert.setString(4, pointer);
                text(insert, 5, mapping.map(TopicMapping::tank));
                text(insert, 6, mapping.map(m -> m.quantity().id()));
                text(insert, 7, mapping.map(TopicMapping::probe));
                text(insert, 8, mapping.flatMap(TopicMapping::unit));
                return insert.executeUpdate();
              }
            });
  }

  private static void text(PreparedStatement insert, int at, Optional<String> text)
      throws SQLException {
    if (text.isPresent()) {
      insert.setString(at, text.get());
    } else {
      insert.setNull(at, Types.VARCHAR);
    }
  }
}
