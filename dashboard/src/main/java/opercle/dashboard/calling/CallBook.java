// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.book.BookTime;
import opercle.analysis.book.FarmBook;
import opercle.analysis.calling.Call;
import opercle.analysis.calling.CallingState;
import opercle.analysis.figures.Deliveries;
import opercle.analysis.memory.RecordText;
import opercle.analysis.monitor.MonitorTrouble;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/** Calls and what became of them, in the farm book. For any thread. */
public final class CallBook {

  private static final Logger log = LoggerFactory.getLogger(CallBook.class);
  private static final RecordText<CallingState> STATE = RecordText.of(CallingState.class);

  private final FarmBook book;
  private final String farm;

  /** The calls of one farm. */
  public CallBook(FarmBook book, String farm) {
    this.book = book;
    this.farm = farm;
  }

  /** What can become of a call. */
  public enum What {
    QUEUED,
    SENT,
    ACCEPTED,
    FAILED,
    ACKNOWLEDGED;

    /** The word in the book and in the API. */
    public String id() {
      return name().toLowerCase(java.util.Locale.ROOT);
    }
  }

  /**
   * Something that became of a call.
   *
   * @param call the call's key
   * @param time when
   * @param what what
   * @param reason why it failed, what was answered, or who has it; empty where there is nothing to
   *     say
   */
  public record Entry(String call, Instant time, What what, Optional<String> reason) {}

  /**
   * A call as the book has it.
   *
   * @param key its key
   * @param time when it was made
   * @param kind why
   * @param tank the tank that it is about first; empty for a test, and for the monitor itself
   * @param cause and its alarm; without a tank, the trouble of the monitor itself
   * @param words its subject
   * @param entries what became of it, in order
   */
  public record Recorded(
      String key,
      Instant time,
      String person,
      String channel,
      String kind,
      Optional<String> tank,
      Optional<String> cause,
      String words,
      List<Entry> entries) {
    public Recorded {
      entries = List.copyOf(entries);
    }
  }

  /**
   * Keeps what followed from a turn, all or nothing.
   *
   * @param state to go on from after a restart
   * @param made calls made, with their subjects
   * @param entries what became of calls
   * @param acknowledged alarms that somebody has from now on
   */
  void keep(
      CallingState state,
      Map<Call, String> made,
      List<Entry> entries,
      List<AlarmEvent> acknowledged) {
    var unused =
        book.write(
            "keep what people were told",
            c -> {
              for (Map.Entry<Call, String> call : made.entrySet()) {
                insertCall(c, call.getKey(), call.getValue());
              }
              for (Entry entry : entries) {
                insertEntry(c, entry);
              }
              for (AlarmEvent event : acknowledged) {
                acknowledge(c, event);
              }
              saveState(c, state);
              return true;
            });
  }

  /** The last state kept; empty if there is none that can be read. */
  Optional<CallingState> state() {
    Optional<String> text =
        book.read(
            "tell what people were told",
            c -> {
              try (PreparedStatement s =
                  c.prepareStatement("SELECT state FROM calling_state WHERE farm = ?")) {
                s.setString(1, farm);
                ResultSet row = s.executeQuery();
                return row.next() ? Optional.of(row.getString(1)) : Optional.empty();
              }
            });
    if (text.isEmpty()) {
      return Optional.empty();
    }
    try {
      return Optional.of(STATE.read(text.get()));
    } catch (IllegalArgumentException e) {
      log.warn(
          "what people were told cannot be read; those called for a standing alarm are called anew: {}",
          e.getMessage());
      return Optional.empty();
    }
  }

  /** The newest calls, the newest first. */
  public List<Recorded> newest(int most) {
    return book.read(
        "tell the calls",
        c -> {
          List<Recorded> calls = new ArrayList<>();
          try (PreparedStatement s =
              c.prepareStatement(
                  "SELECT id, time, person, channel, kind, tank, cause, words FROM call_made"
                      + " WHERE farm = ? ORDER BY number DESC LIMIT ?")) {
            s.setString(1, farm);
            s.setInt(2, most);
            ResultSet row = s.executeQuery();
            while (row.next()) {
              calls.add(
                  new Recorded(
                      row.getString(1),
                      BookTime.instant(row.getLong(2)),
                      row.getString(3),
                      row.getString(4),
                      row.getString(5),
                      Optional.ofNullable(row.getString(6)),
                      Optional.ofNullable(row.getString(7)),
                      row.getString(8),
                      entries(c, row.getString(1))));
            }
          }
          return calls;
        });
  }

  /** How the calls made in a stretch fared, tests apart. */
  public Deliveries deliveries(Instant from, Instant to) {
    return book.read(
        "count the calls",
        c -> {
          try (PreparedStatement s =
              c.prepareStatement(
                  "SELECT count(*), coalesce(sum(CASE WHEN EXISTS (SELECT 1 FROM call_delivery d"
                      + " WHERE d.call_id = m.id AND d.what = 'accepted') THEN 0 ELSE 1 END), 0)"
                      + " FROM call_made m WHERE m.farm = ? AND m.kind <> 'test'"
                      + " AND m.time >= ? AND m.time < ? AND EXISTS (SELECT 1 FROM call_delivery d"
                      + " WHERE d.call_id = m.id AND d.what IN ('accepted', 'failed'))")) {
            s.setString(1, farm);
            s.setLong(2, BookTime.micros(from));
            s.setLong(3, BookTime.micros(to));
            ResultSet row = s.executeQuery();
            row.next();
            return new Deliveries(row.getInt(1), row.getInt(2), forTheMonitor(c, from, to));
          }
        });
  }

  private List<Instant> forTheMonitor(Connection c, Instant from, Instant to) throws SQLException {
    List<Instant> times = new ArrayList<>();
    try (PreparedStatement s =
        c.prepareStatement(
            "SELECT DISTINCT time FROM call_made WHERE farm = ? AND kind = 'monitor'"
                + " AND time >= ? AND time < ? ORDER BY time")) {
      s.setString(1, farm);
      s.setLong(2, BookTime.micros(from));
      s.setLong(3, BookTime.micros(to));
      ResultSet rows = s.executeQuery();
      while (rows.next()) {
        times.add(BookTime.instant(rows.getLong(1)));
      }
    }
    return times;
  }

  /**
   * Uses a link up. Those that ended long ago by themselves are forgotten.
   *
   * @return whether it was unused until now; of two at the same time one is told so
   */
  boolean use(String nonce, Instant now, String person) {
    return book.write(
        "note that a link was used",
        c -> {
          try (PreparedStatement s = c.prepareStatement("DELETE FROM link_used WHERE time < ?")) {
            s.setLong(1, BookTime.micros(now.minus(HaveLinks.VALID.multipliedBy(2))));
            var unused = s.executeUpdate();
          }
          try (PreparedStatement s =
              c.prepareStatement(
                  "INSERT INTO link_used (nonce, time, person) SELECT ?, ?, ?"
                      + " WHERE NOT EXISTS (SELECT 1 FROM link_used WHERE nonce = ?)")) {
            s.setString(1, nonce);
            s.setLong(2, BookTime.micros(now));
            s.setString(3, person);
            s.setString(4, nonce);
            return s.executeUpdate() == 1;
          }
        });
  }

  /** A link whose use came to nothing may be used again. */
  void giveBack(String nonce) {
    var unused =
        book.write(
            "give a link back",
            c -> {
              try (PreparedStatement s =
                  c.prepareStatement("DELETE FROM link_used WHERE nonce = ?")) {
                s.setString(1, nonce);
                return s.executeUpdate();
              }
            });
  }

  /** Whether a link was used. */
  boolean isUsed(String nonce) {
    return book.read(
        "tell whether a link was used",
        c -> {
          try (PreparedStatement s =
              c.prepareStatement("SELECT 1 FROM link_used WHERE nonce = ?")) {
            s.setString(1, nonce);
            return s.executeQuery().next();
          }
        });
  }

  private static List<Entry> entries(Connection c, String key) throws SQLException {
    List<Entry> entries = new ArrayList<>();
    try (PreparedStatement s =
        c.prepareStatement(
            "SELECT time, what, reason FROM call_delivery WHERE call_id = ? ORDER BY number")) {
      s.setString(1, key);
      ResultSet row = s.executeQuery();
      while (row.next()) {
        entries.add(
            new Entry(
                key,
                BookTime.instant(row.getLong(1)),
                What.valueOf(row.getString(2).toUpperCase(java.util.Locale.ROOT)),
                Optional.ofNullable(row.getString(3))));
      }
    }
    return entries;
  }

  private void insertCall(Connection c, Call call, String words) throws SQLException {
    try (PreparedStatement s =
        c.prepareStatement(
            "INSERT INTO call_made (id, farm, number, time, person, channel, kind, tank, cause,"
                + " since, words) SELECT ?, ?, coalesce(max(number), 0) + 1, ?, ?, ?, ?, ?, ?, ?, ?"
                + " FROM call_made WHERE farm = ? ON CONFLICT (id) DO NOTHING")) {
      @Nullable AlarmEvent first = call.about().isEmpty() ? null : call.about().get(0);
      @Nullable MonitorTrouble trouble = call.troubles().isEmpty() ? null : call.troubles().get(0);
      s.setString(1, call.key());
      s.setString(2, farm);
      s.setLong(3, BookTime.micros(call.made()));
      s.setString(4, call.person());
      s.setString(5, call.channel());
      s.setString(6, Words.kind(call.kind()));
      s.setString(7, first == null ? null : first.tank());
      s.setString(8, cause(first, trouble));
      s.setObject(9, first == null ? null : BookTime.micros(first.since()));
      s.setString(10, words);
      s.setString(11, farm);
      var unused = s.executeUpdate();
    }
  }

  private static @Nullable String cause(
      @Nullable AlarmEvent first, @Nullable MonitorTrouble trouble) {
    if (first != null) {
      return first.cause().id();
    }
    return trouble == null ? null : trouble.key().id();
  }

  private void insertEntry(Connection c, Entry entry) throws SQLException {
    try (PreparedStatement s =
        c.prepareStatement(
            "INSERT INTO call_delivery (farm, number, call_id, time, what, reason)"
                + " SELECT ?, coalesce(max(number), 0) + 1, ?, ?, ?, ?"
                + " FROM call_delivery WHERE farm = ?"
                // Offered again where nobody knows whether it was kept: once is enough.
                + " HAVING NOT EXISTS (SELECT 1 FROM call_delivery d"
                + " WHERE d.call_id = ? AND d.time = ? AND d.what = ?)")) {
      s.setString(1, farm);
      s.setString(2, entry.call());
      s.setLong(3, BookTime.micros(entry.time()));
      s.setString(4, entry.what().id());
      s.setString(5, entry.reason().orElse(null));
      s.setString(6, farm);
      s.setString(7, entry.call());
      s.setLong(8, BookTime.micros(entry.time()));
      s.setString(9, entry.what().id());
      var unused = s.executeUpdate();
    }
  }

  private void acknowledge(Connection c, AlarmEvent event) throws SQLException {
    List<String> keys = new ArrayList<>();
    try (PreparedStatement s =
        c.prepareStatement(
            "SELECT id FROM call_made WHERE farm = ? AND tank = ? AND cause = ? AND since = ?"
                + " AND kind = 'alarm'")) {
      s.setString(1, farm);
      s.setString(2, event.tank());
      s.setString(3, event.cause().id());
      s.setLong(4, BookTime.micros(event.since()));
      ResultSet row = s.executeQuery();
      while (row.next()) {
        keys.add(row.getString(1));
      }
    }
    for (String key : keys) {
      insertEntry(c, new Entry(key, event.time(), What.ACKNOWLEDGED, event.by()));
    }
  }

  private void saveState(Connection c, CallingState state) throws SQLException {
    try (PreparedStatement s =
        c.prepareStatement(
            "INSERT INTO calling_state (farm, time, state) VALUES (?, ?, ?)"
                + " ON CONFLICT (farm) DO UPDATE SET time = excluded.time, state = excluded.state")) {
      s.setString(1, farm);
      s.setLong(2, BookTime.micros(state.at()));
      s.setString(3, STATE.write(state));
      var unused = s.executeUpdate();
    }
  }
}
