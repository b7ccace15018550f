// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.List;

/**
 * Brings a database to the present form, step by step; SQLite's {@code user_version} says how many
 * steps it has had. A step, once released, is never changed: add another.
 */
final class Schema {

  private static final List<List<String>> STEPS =
      List.of(
          List.of(
              """
              CREATE TABLE series (
                id       INTEGER PRIMARY KEY,
                tank     TEXT NOT NULL,
                quantity TEXT NOT NULL,
                probe    TEXT NOT NULL,
                UNIQUE (tank, quantity, probe)
              )""",
              // Ordered by its key, so that a series' hour lies together: about 25 bytes a row.
              """
              CREATE TABLE reading (
                series INTEGER NOT NULL REFERENCES series (id),
                time   INTEGER NOT NULL, -- ms since 1970
                value  REAL NOT NULL,    -- in the quantity's canonical unit
                PRIMARY KEY (series, time)
              ) WITHOUT ROWID""",
              """
              CREATE TABLE arrivals (
                id      INTEGER PRIMARY KEY, -- in order of recording
                count   INTEGER NOT NULL,
                entries BLOB NOT NULL        -- see SqliteArrivals
              )"""),
          List.of(
              // See SqliteRollUps. Lies in the order of its key, as readings do.
              """
              CREATE TABLE minute (
                series INTEGER NOT NULL REFERENCES series (id),
                minute INTEGER NOT NULL, -- minutes since 1970
                count  INTEGER NOT NULL,
                least  REAL NOT NULL,
                most   REAL NOT NULL,
                total  REAL NOT NULL,
                PRIMARY KEY (series, minute)
              ) WITHOUT ROWID""",
              // A store that is years old must not take minutes to start: what it has already is
              // not rolled up, and is read as it was before. From this minute on everything is.
              "ALTER TABLE series ADD COLUMN rolled_from INTEGER NOT NULL DEFAULT -1000000000000",
              """
              UPDATE series SET rolled_from = coalesce(
                (SELECT max(time) / 60000 + 1 FROM reading WHERE series = series.id), rolled_from)"""),
          List.of(
              // Before this minute its readings are deleted, and its minutes stand for them.
              "ALTER TABLE series ADD COLUMN trimmed_to INTEGER NOT NULL DEFAULT -1000000000000",
              // Before this minute another database may have more of it than is here.
              "ALTER TABLE series ADD COLUMN kept_from INTEGER NOT NULL DEFAULT -1000000000000",
              // See SqliteSpool. Empty where there is no other database.
              """
              CREATE TABLE unsent (
                series   INTEGER NOT NULL REFERENCES series (id),
                minute   INTEGER NOT NULL, -- minutes since 1970
                from_ms  INTEGER NOT NULL, -- the oldest reading of the minute that is to be sent
                since_ms INTEGER,          -- the oldest that has come since it was taken to be sent
                is_whole INTEGER NOT NULL, -- 1: every reading that the minute ever had was seen here
                thinned  INTEGER NOT NULL DEFAULT 0, -- 1: lowest and highest are left; 2: no reading
                PRIMARY KEY (series, minute)
              ) WITHOUT ROWID""",
              "CREATE INDEX unsent_by_minute ON unsent (minute)",
              "CREATE INDEX unsent_by_thinned ON unsent (thinned, minute)",
              """
              CREATE TABLE given_up (
                what     TEXT PRIMARY KEY, -- see GivenUp
                readings INTEGER NOT NULL,
                first_ms INTEGER NOT NULL,
                last_ms  INTEGER NOT NULL
              ) WITHOUT ROWID"""),
          // Tells this file from any other that was or will be in its place.
          List.of(
              "CREATE TABLE identity (id TEXT NOT NULL)",
              "INSERT INTO identity (id) VALUES (lower(hex(randomblob(4))))"),
          // How a minute was begun, so it is sent to its end: settings may change in the middle.
          List.of(
              // 1: what is sent of it is this file's part, and says so.
              "ALTER TABLE minute ADD COLUMN is_part INTEGER NOT NULL DEFAULT 0",
              // 1: it counts every reading of its part. NULL: as the mark in unsent says.
              "ALTER TABLE minute ADD COLUMN is_whole INTEGER"));

  /** From this version on a database rolls up. */
  static final int WITH_ROLL_UPS = 2;

  /** From this version on its minutes may be older than its readings. */
  static final int WITH_OLDER_MINUTES = 3;

  static final int VERSION = STEPS.size();

  private Schema() {}

  /**
   * Runs the steps that the database has not had yet, all or none.
   *
   * @throws StoreException if the database is newer than this program
   */
  static void bringUpToDate(Connection connection, Path file) throws SQLException {
    try (Statement statement = connection.createStatement()) {
      statement.execute("BEGIN IMMEDIATE"); // two processes may start at once
      try {
        for (int step = requireKnownVersion(connection, file); step < VERSION; step++) {
          for (String sql : STEPS.get(step)) {
            statement.execute(sql);
          }
        }
        statement.execute("PRAGMA user_version = " + VERSION);
        statement.execute("COMMIT");
      } catch (SQLException | RuntimeException e) {
        statement.execute("ROLLBACK");
        throw e;
      }
    }
  }

  /** The database's version, if this program can read it; older while an older one writes it. */
  static int requireKnownVersion(Connection connection, Path file) throws SQLException {
    try (Statement statement = connection.createStatement();
        ResultSet row = statement.executeQuery("PRAGMA user_version")) {
      int version = row.getInt(1);
      if (version > VERSION) {
        throw new StoreException(
            "%s was written by a newer version of Opercle (schema %d, this one knows %d); update"
                    .formatted(file, version, VERSION)
                + " Opercle, or give it another data folder");
      }
      return version;
    }
  }
}
