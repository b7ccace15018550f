// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.type.TypeReference;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Types;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.function.Consumer;
import opercle.analysis.records.Entry;
import opercle.analysis.records.EntryFields;
import opercle.analysis.records.Recorded;
import opercle.analysis.records.Recorded.Correction;
import opercle.analysis.records.Records;

/**
 * The records of a farm in its farm book. Each entry is a transaction of its own; an entry that is
 * sent twice is kept once.
 *
 * <p>For any thread. What was read before is remembered, so that only what is new is read.
 */
public final class RecordBook {

  private static final ObjectMapper JSON = new ObjectMapper();
  private static final TypeReference<Map<String, Object>> FIELDS = new TypeReference<>() {};

  private final FarmBook book;
  private final String farm;

  private final List<Consumer<Recorded>> followers = new CopyOnWriteArrayList<>();

  /** Guarded by this. */
  private Records known = Records.of(List.of());

  /**
   * The records of a farm.
   *
   * @param farm its name
   */
  public RecordBook(FarmBook book, String farm) {
    this.book = book;
    this.farm = farm;
  }

  /** What became of an entry. */
  public sealed interface Outcome {

    /** It is on the disk. */
    record Kept(Recorded recorded) implements Outcome {}

    /** It was on the disk already. */
    record KeptBefore(Recorded recorded) implements Outcome {}

    /**
     * It was not kept.
     *
     * @param reason in a sentence for whoever sent it, without its full stop
     */
    record Refused(String reason) implements Outcome {}
  }

  /** Who follows is told of every entry that is made here, once it is on the disk. */
  public void follow(Consumer<Recorded> follower) {
    followers.add(follower);
  }

  /** Whether entries can be made here: the book was opened for writing. */
  public boolean isWritable() {
    return book.isWritable();
  }

  /**
   * Everything that is recorded now.
   *
   * @throws BookException if the book cannot be read
   */
  public synchronized Records records() {
    List<Recorded> more = book.read("read the records", this::unread);
    known = knownWith(more);
    return known;
  }

  private Records knownWith(List<Recorded> more) {
    if (more.isEmpty()) {
      return known;
    }
    List<Recorded> all = new ArrayList<>(known.all());
    all.addAll(more);
    return Records.of(all);
  }

  /**
   * Keeps an entry.
   *
   * @param id made where it was entered
   * @param by who entered it
   * @param at when
   * @throws BookException if the book cannot be written; trying again is safe
   * @throws IllegalArgumentException if the id or the name is none
   * @throws UnsupportedOperationException if the book was opened for reading only
   */
  public Outcome keep(
      String id, String by, Instant at, Optional<Correction> correction, Entry entry) {
    Outcome outcome = write(id, by, at, correction, entry);
    if (outcome instanceof Outcome.Kept kept) {
      followers.forEach(f -> f.accept(kept.recorded())); // not under our lock: they have their own
    }
    return outcome;
  }

  private synchronized Outcome write(
      String id, String by, Instant at, Optional<Correction> correction, Entry entry) {
    Instant time = at.truncatedTo(ChronoUnit.MICROS);
    Recorded first = new Recorded(id, 0L, time, by, correction, entry); // refuses what it must
    return book.write(
        "take an entry of the records",
        connection -> {
          Records records = knownWith(unread(connection)); // not remembered: it may be undone yet
          Optional<Recorded> before =
              records.all().stream().filter(r -> r.id().equals(id)).findFirst();
          if (before.isPresent()) {
            return before.get().isSameAs(first)
                ? new Outcome.KeptBefore(before.get())
                : new Outcome.Refused(
                    "Something else was kept from the same form already; load the page again to see it");
          }
          Optional<String> refusal = records.refusal(first);
          if (refusal.isPresent()) {
            return new Outcome.Refused(refusal.get());
          }
          long number = last(records) + 1;
          Recorded kept = new Recorded(id, number, time, first.by(), correction, entry);
          insert(connection, kept);
          return new Outcome.Kept(kept);
        });
  }

  private static long last(Records records) {
    List<Recorded> all = records.all();
    return all.isEmpty() ? 0L : all.get(all.size() - 1).number();
  }

  private void insert(Connection connection, Recorded recorded) throws SQLException {
    try (PreparedStatement insert =
        connection.prepareStatement(
            "INSERT INTO record_entry (id, farm, number, time, by_whom, kind, fields, corrects, why,"
                + " withdraws) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)")) {
      insert.setString(1, recorded.id());
      insert.setString(2, farm);
      insert.setLong(3, recorded.number());
      insert.setLong(4, BookTime.micros(recorded.at()));
      insert.setString(5, recorded.by());
      insert.setString(6, recorded.entry().kind().id());
      insert.setString(7, JSON.writeValueAsString(EntryFields.of(recorded.entry())));
      text(insert, 8, recorded.correction().map(Correction::corrects));
      text(insert, 9, recorded.correction().map(Correction::why));
      insert.setInt(10, recorded.correction().map(Correction::withdraws).orElse(false) ? 1 : 0);
      var unused = insert.executeUpdate();
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("plain fields can be written as JSON", e);
    }
  }

  private static void text(PreparedStatement insert, int column, Optional<String> text)
      throws SQLException {
    if (text.isPresent()) {
      insert.setString(column, text.get());
    } else {
      insert.setNull(column, Types.VARCHAR);
    }
  }

  private List<Recorded> unread(Connection connection) throws SQLException {
    try (PreparedStatement select =
        connection.prepareStatement(
            "SELECT id, number, time, by_whom, kind, fields, corrects, why, withdraws"
                + " FROM record_entry WHERE farm = ? AND number > ? ORDER BY number")) {
      select.setString(1, farm);
      select.setLong(2, last(known));
      try (ResultSet row = select.executeQuery()) {
        List<Recorded> all = new ArrayList<>();
        while (row.next()) {
          all.add(recorded(row));
        }
        return all;
      }
    }
  }

  private static Recorded recorded(ResultSet row) throws SQLException {
    String corrects = row.getString(7);
    Optional<Correction> correction =
        corrects == null
            ? Optional.empty()
            : Optional.of(new Correction(corrects, row.getString(8), row.getInt(9) != 0));
    return new Recorded(
        row.getString(1),
        row.getLong(2),
        BookTime.instant(row.getLong(3)),
        row.getString(4),
        correction,
        entry(row.getString(1), row.getString(5), row.getString(6)));
  }

  private static Entry entry(String id, String kind, String fields) throws SQLException {
    try {
      return EntryFields.read(
          Entry.Kind.of(kind)
              .orElseThrow(() -> new IllegalArgumentException("'" + kind + "' is no known kind")),
          JSON.readValue(fields, FIELDS));
    } catch (JsonProcessingException | IllegalArgumentException e) {
      throw new SQLException("entry '%s' cannot be read: %s".formatted(id, e.getMessage()), e);
    }
  }
}
