// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.access;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Supplier;
import opercle.analysis.book.BookException;
import opercle.analysis.book.BookTime;
import opercle.analysis.book.FarmBook;

/** Users, sessions and tokens in the farm book. For any thread, and for several processes. */
final class AccessBook {

  /** A user, with what is never shown. */
  record Kept(User user, String password, String stamp) {}

  /** A session and whose it is. */
  record Session(Kept user, Instant since, Instant seen) {}

  private static final String USER = "name, role, password, stamp, since";

  private final Supplier<Optional<FarmBook>> book;

  /**
   * @param book the farm book; empty while there is none
   */
  AccessBook(Supplier<Optional<FarmBook>> book) {
    this.book = book;
  }

  private interface Reader<T> {
    T read(ResultSet row) throws SQLException;
  }

  boolean hasUsers() {
    return !query("ask for users", "SELECT 1 FROM access_user LIMIT 1", row -> 1).isEmpty();
  }

  List<User> users() {
    return query(
        "list the users",
        "SELECT " + USER + " FROM access_user ORDER BY name_key",
        row -> kept(row).user());
  }

  Optional<Kept> user(String name) {
    return first(
        query(
            "look up a user",
            "SELECT " + USER + " FROM access_user WHERE name_key = ?",
            row -> kept(row),
            Names.key(name)));
  }

  /** False if there is one of that name. */
  boolean add(User user, String password) {
    return write(
            "add a user",
            "INSERT INTO access_user (name_key, name, role, password, stamp, since)"
                + " VALUES (?, ?, ?, ?, ?, ?) ON CONFLICT (name_key) DO NOTHING",
            Names.key(user.name()),
            user.name(),
            user.role().id(),
            password,
            Secrets.id(),
            BookTime.micros(user.since()))
        > 0;
  }

  /**
   * Gives another role, which ends the user's sessions.
   *
   * @return false if it would leave nobody with the role that gives roles, or there is no such user
   */
  boolean setRole(String name, Role role, boolean mayLeaveNone) {
    return changed(
        "give a user another role",
        mayLeaveNone || role == Role.MANAGE,
        "UPDATE access_user SET role = ?, stamp = ? WHERE name_key = ?",
        role.id(),
        Secrets.id(),
        Names.key(name));
  }

  boolean setPassword(String name, String password) {
    return changed(
        "set a password",
        true,
        "UPDATE access_user SET password = ?, stamp = ? WHERE name_key = ?",
        password,
        Secrets.id(),
        Names.key(name));
  }

  /**
   * Removes a user, with the sessions.
   *
   * @return false if it would leave nobody with the role that gives roles, or there is no such user
   */
  boolean remove(String name, boolean mayLeaveNone) {
    return changed(
        "remove a user",
        mayLeaveNone,
        "DELETE FROM access_user WHERE name_key = ?",
        Names.key(name));
  }

  /** Changes a user and ends the sessions, in one transaction: whole, or not at all. */
  private boolean changed(String what, boolean mayLeaveNone, String sql, Object... values) {
    return opened()
        .write(
            what,
            connection -> {
              String key = (String) values[values.length - 1];
              if (!mayLeaveNone && isOnlyManager(connection, key)) {
                return false;
              }
              boolean done = update(connection, sql, values) > 0;
              update(connection, "DELETE FROM access_session WHERE name_key = ?", key);
              return done;
            });
  }

  private static boolean isOnlyManager(Connection connection, String key) throws SQLException {
    String others = "SELECT 1 FROM access_user WHERE role = 'manage' AND name_key <> ? LIMIT 1";
    String itself = "SELECT 1 FROM access_user WHERE role = 'manage' AND name_key = ?";
    return select(connection, others, row -> 1, key).isEmpty()
        && !select(connection, itself, row -> 1, key).isEmpty();
  }

  void begin(String hash, Kept user, Instant now, Instant notBefore) {
    opened()
        .write(
            "begin a session",
            connection -> {
              // Whoever comes in sweeps out what is over by any rule.
              update(
                  connection,
                  "DELETE FROM access_session WHERE since < ?",
                  BookTime.micros(notBefore));
              return update(
                  connection,
                  "INSERT INTO access_session (hash, name_key, stamp, since, seen)"
                      + " VALUES (?, ?, ?, ?, ?)",
                  hash,
                  Names.key(user.user().name()),
                  user.stamp(),
                  BookTime.micros(now),
                  BookTime.micros(now));
            });
  }

  /** The session of this hash, unless the user has changed since. */
  Optional<Session> session(String hash) {
    return first(
        query(
            "look up a session",
            "SELECT name, role, password, u.stamp, u.since, s.since, s.seen FROM access_session s"
                + " JOIN access_user u ON u.name_key = s.name_key AND u.stamp = s.stamp"
                + " WHERE s.hash = ?",
            row ->
                new Session(
                    kept(row), BookTime.instant(row.getLong(6)), BookTime.instant(row.getLong(7))),
            hash));
  }

  void seen(String hash, Instant now) {
    write(
        "note that a session is used",
        "UPDATE access_session SET seen = ? WHERE hash = ?",
        BookTime.micros(now),
        hash);
  }

  void end(String hash) {
    write("end a session", "DELETE FROM access_session WHERE hash = ?", hash);
  }

  void add(ApiToken token, String hash) {
    write(
        "keep a token",
        "INSERT INTO access_token (id, hash, name, role, made_by, since) VALUES (?, ?, ?, ?, ?, ?)",
        token.id(),
        hash,
        token.name(),
        token.role().id(),
        token.madeBy(),
        BookTime.micros(token.since()));
  }

  List<ApiToken> tokens() {
    return query(
        "list the tokens",
        "SELECT id, name, role, made_by, since, used FROM access_token ORDER BY since, id",
        AccessBook::token);
  }

  Optional<ApiToken> token(String hash) {
    return first(
        query(
            "look up a token",
            "SELECT id, name, role, made_by, since, used FROM access_token WHERE hash = ?",
            AccessBook::token,
            hash));
  }

  void used(ApiToken token, Instant now) {
    write(
        "note that a token is used",
        "UPDATE access_token SET used = ? WHERE id = ?",
        BookTime.micros(now),
        token.id());
  }

  boolean revoke(String id) {
    return write("revoke a token", "DELETE FROM access_token WHERE id = ?", id) > 0;
  }

  private static Kept kept(ResultSet row) throws SQLException {
    return new Kept(
        new User(row.getString(1), role(row.getString(2)), BookTime.instant(row.getLong(5))),
        row.getString(3),
        row.getString(4));
  }

  private static ApiToken token(ResultSet row) throws SQLException {
    long used = row.getLong(6);
    return new ApiToken(
        row.getString(1),
        row.getString(2),
        role(row.getString(3)),
        row.getString(4),
        BookTime.instant(row.getLong(5)),
        used == 0 ? Optional.empty() : Optional.of(BookTime.instant(used)));
  }

  /** A role that is not known, of a later version perhaps, may do the least. */
  private static Role role(String id) {
    return Role.of(id).orElse(Role.LOOK);
  }

  private FarmBook opened() {
    return book.get().orElseThrow(() -> new BookException("There is no farm book yet."));
  }

  private <T> List<T> query(String what, String sql, Reader<T> reader, Object... values) {
    return book.get()
        .map(open -> open.read(what, connection -> select(connection, sql, reader, values)))
        .orElse(List.of());
  }

  private int write(String what, String sql, Object... values) {
    return opened().write(what, connection -> update(connection, sql, values));
  }

  private static <T> List<T> select(
      Connection connection, String sql, Reader<T> reader, Object... values) throws SQLException {
    try (PreparedStatement statement = prepared(connection, sql, values);
        ResultSet rows = statement.executeQuery()) {
      List<T> all = new ArrayList<>();
      while (rows.next()) {
        all.add(reader.read(rows));
      }
      return all;
    }
  }

  private static int update(Connection connection, String sql, Object... values)
      throws SQLException {
    try (PreparedStatement statement = prepared(connection, sql, values)) {
      return statement.executeUpdate();
    }
  }

  private static PreparedStatement prepared(Connection connection, String sql, Object... values)
      throws SQLException {
    PreparedStatement statement = connection.prepareStatement(sql);
    for (int i = 0; i < values.length; i++) {
      statement.setObject(i + 1, values[i]);
    }
    return statement;
  }

  private static <T> Optional<T> first(List<T> rows) {
    return rows.stream().findFirst();
  }
}
