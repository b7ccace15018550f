// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import opercle.analysis.book.BookTime;
import opercle.analysis.book.FarmBook;

/**
 * Who was to be called from when on, in the farm book, version after version, and what the
 * configuration said. Reads and writes the disk; for any thread. Everything throws {@link
 * opercle.analysis.book.BookException} where the book cannot be used.
 */
final class PeopleBook {

  private final FarmBook book;

  PeopleBook(FarmBook book) {
    this.book = book;
  }

  /**
   * People as they were described from some moment on.
   *
   * @param number counts the versions of a book, from 1
   * @param by who changed them, or the name of the file in which a hand did
   * @param what is different from the version before, a sentence each
   * @param text as of {@link PeopleJson#text}
   */
  record Version(long number, Instant time, String by, List<String> what, String text) {}

  /** The newest versions, newest first. */
  List<Version> newest(int most) {
    return book.read(
        "read who is called",
        c -> {
          List<Version> versions = new ArrayList<>();
          try (PreparedStatement s =
              c.prepareStatement(
                  "SELECT number, time, by_whom, what, people FROM people_version"
                      + " ORDER BY number DESC LIMIT ?")) {
            s.setInt(1, most);
            ResultSet row = s.executeQuery();
            while (row.next()) {
              versions.add(
                  new Version(
                      row.getLong(1),
                      BookTime.instant(row.getLong(2)),
                      row.getString(3),
                      row.getString(4).lines().toList(),
                      row.getString(5)));
            }
          }
          return versions;
        });
  }

  /** Adds a version, which is on the disk when this returns. */
  Version add(String text, Instant time, String by, List<String> what) {
    return book.write("take who is called", c -> add(c, text, time, by, what));
  }

  private static Version add(Connection c, String text, Instant time, String by, List<String> what)
      throws SQLException {
    long number = next(c, "people_version");
    try (PreparedStatement s =
        c.prepareStatement(
            "INSERT INTO people_version (number, time, by_whom, what, people)"
                + " VALUES (?, ?, ?, ?, ?)")) {
      s.setLong(1, number);
      s.setLong(2, BookTime.micros(time));
      s.setString(3, by);
      s.setString(4, String.join("\n", what));
      s.setString(5, text);
      s.executeUpdate();
    }
    return new Version(number, time, by, what, text);
  }

  /** What the configuration said when it was last taken; empty where it never was. */
  Optional<String> file() {
    return book.read(
        "read whom the configuration named",
        c -> {
          try (PreparedStatement s =
                  c.prepareStatement(
                      "SELECT people FROM people_file ORDER BY number DESC LIMIT 1");
              ResultSet row = s.executeQuery()) {
            return row.next() ? Optional.of(row.getString(1)) : Optional.<String>empty();
          }
        });
  }

  /** Keeps what the configuration says now, and the version that comes of it; both or neither. */
  void takeFile(
      String file, Instant time, String name, Optional<String> version, List<String> what) {
    book.write(
        "take whom the configuration names",
        c -> {
          try (PreparedStatement s =
              c.prepareStatement(
                  "INSERT INTO people_file (number, time, people) VALUES (?, ?, ?)")) {
            s.setLong(1, next(c, "people_file"));
            s.setLong(2, BookTime.micros(time));
            s.setString(3, file);
            s.executeUpdate();
          }
          if (version.isPresent()) {
            add(c, version.get(), time, name, what);
          }
          return 0;
        });
  }

  private static long next(Connection c, String table) throws SQLException {
    try (PreparedStatement s =
            c.prepareStatement("SELECT coalesce(max(number), 0) + 1 FROM " + table);
        ResultSet row = s.executeQuery()) {
      row.next();
      return row.getLong(1);
    }
  }
}
