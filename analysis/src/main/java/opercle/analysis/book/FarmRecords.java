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
import java.util.Map;
import java.util.Optional;
import java.util.function.Consumer;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmWriter;

/**
 * The versions of the farm in the farm book, and what its file said. A book is of one farm,
 * whatever it was called when. Reads and writes the disk; for any thread. Everything throws {@link
 * BookException} where the book cannot be used.
 */
public final class FarmRecords {

  private final FarmBook book;

  /** The records of a book. */
  public FarmRecords(FarmBook book) {
    this.book = book;
  }

  /** The version in force; empty where the book has none yet. */
  public Optional<FarmVersion> newest() {
    return newest(1).stream().findFirst();
  }

  /** The newest versions, newest first. */
  public List<FarmVersion> newest(int most) {
    return book.read(
        "read the farm's versions",
        connection -> {
          try (PreparedStatement select =
              connection.prepareStatement(
                  "SELECT number, time, by_whom, what, yaml FROM farm_version"
                      + " ORDER BY number DESC LIMIT ?")) {
            select.setInt(1, most);
            List<FarmVersion> versions = new ArrayList<>();
            each(select, versions::add);
            return versions;
          }
        });
  }

  /**
   * The versions that were in force in a span of time, oldest first: the one that held at its
   * beginning and those that came in it. Where the book begins later than that, its first one is
   * among them.
   */
  public List<FarmVersion> inForce(Instant from, Instant to) {
    List<FarmVersion> versions = new ArrayList<>();
    eachInForce(from, to, versions::add);
    return versions;
  }

  /**
   * The same one by one: there may be many of them, each a whole farm.
   *
   * @param one is not to ask the book for anything
   */
  public void eachInForce(Instant from, Instant to, Consumer<FarmVersion> one) {
    book.read(
        "read the farm's versions of a time",
        connection -> {
          try (PreparedStatement select =
              connection.prepareStatement(
                  """
                  SELECT number, time, by_whom, what, yaml FROM farm_version
                  WHERE number >= coalesce((SELECT max(number) FROM farm_version WHERE time <= ?), 1)
                    AND (time <= ? OR number = 1) ORDER BY number""")) {
            select.setLong(1, BookTime.micros(from));
            select.setLong(2, BookTime.micros(to));
            return each(select, one);
          }
        });
  }

  /**
   * Keeps since when the fish are in a tank that the newest version has put there; to be called
   * with what adds that version, for one kind of fish.
   */
  public void putIn(String tank, Instant since) {
    book.write(
        "keep since when fish are in a tank",
        connection -> {
          try (PreparedStatement insert =
              connection.prepareStatement(
                  "INSERT INTO fish_in (version, tank, time)"
                      + " VALUES ((SELECT max(number) FROM farm_version), ?, ?)")) {
            insert.setString(1, tank);
            insert.setLong(2, BookTime.micros(since));
            return insert.executeUpdate();
          }
        });
  }

  /**
   * Since when the fish are in a tank that versions have put there, as far as somebody said.
   *
   * @return by the number of the version
   */
  public Map<Long, Instant> putIn(String tank) {
    return book.read(
        "read since when fish are in a tank",
        connection -> {
          try (PreparedStatement select =
              connection.prepareStatement("SELECT version, time FROM fish_in WHERE tank = ?")) {
            select.setString(1, tank);
            Map<Long, Instant> since = new HashMap<>();
            try (ResultSet rows = select.executeQuery()) {
              while (rows.next()) {
                since.put(rows.getLong(1), BookTime.instant(rows.getLong(2)));
              }
            }
            return since;
          }
        });
  }

  private int each(PreparedStatement select, Consumer<FarmVersion> one) throws SQLException {
    int number = 0;
    try (ResultSet rows = select.executeQuery()) {
      while (rows.next()) {
        long version = rows.getLong(1);
        one.accept(
            new FarmVersion(
                version,
                book.farms().farm("version " + version + " of the farm", rows.getString(5)),
                BookTime.instant(rows.getLong(2)),
                rows.getString(3),
                rows.getString(4).lines().toList()));
        number++;
      }
    }
    return number;
  }

  /**
   * Adds a version, which is on the disk when this returns.
   *
   * @param what is different, a sentence each
   */
  public FarmVersion add(Farm farm, Instant time, String by, List<String> what) {
    return add(farm, time, by, what, () -> {});
  }

  /**
   * The same together with what else is written because of it: both or neither.
   *
   * @param with writes to the same book, on this thread
   */
  public FarmVersion add(Farm farm, Instant time, String by, List<String> what, Runnable with) {
    return book.write(
        "take the changed farm",
        connection -> {
          FarmVersion version = add(connection, farm, time, by, what);
          with.run();
          return version;
        });
  }

  private static FarmVersion add(
      Connection connection, Farm farm, Instant time, String by, List<String> what)
      throws SQLException {
    long number = next(connection, "farm_version");
    try (PreparedStatement insert =
        connection.prepareStatement(
            "INSERT INTO farm_version (number, farm, time, by_whom, what, yaml)"
                + " VALUES (?, ?, ?, ?, ?, ?)")) {
      insert.setLong(1, number);
      insert.setString(2, farm.name());
      insert.setLong(3, BookTime.micros(time));
      insert.setString(4, by);
      insert.setString(5, String.join("\n", what));
      insert.setString(6, FarmWriter.write(farm));
      insert.executeUpdate();
    }
    return new FarmVersion(number, farm, time, by, what);
  }

  /** What the farm's file said when it was last taken; empty where it never was. */
  public Optional<Farm> file() {
    return book.read(
        "read what the farm's file said",
        connection -> {
          try (PreparedStatement select =
                  connection.prepareStatement(
                      "SELECT yaml FROM farm_file ORDER BY number DESC LIMIT 1");
              ResultSet rows = select.executeQuery()) {
            return rows.next()
                ? Optional.of(book.farms().farm("what the farm's file said", rows.getString(1)))
                : Optional.<Farm>empty();
          }
        });
  }

  /**
   * Keeps what the file says now, and the version that comes of it, where it makes one; both or
   * neither.
   */
  public void takeFile(
      Farm file, Instant time, String name, Optional<Farm> version, List<String> what) {
    book.write(
        "take the farm's file",
        connection -> {
          try (PreparedStatement insert =
              connection.prepareStatement(
                  "INSERT INTO farm_file (number, time, yaml) VALUES (?, ?, ?)")) {
            insert.setLong(1, next(connection, "farm_file"));
            insert.setLong(2, BookTime.micros(time));
            insert.setString(3, FarmWriter.write(file));
            insert.executeUpdate();
          }
          if (version.isPresent()) {
            add(connection, version.get(), time, name, what);
          }
          return 0;
        });
  }

  private static long next(Connection connection, String table) throws SQLException {
    try (PreparedStatement select =
            connection.prepareStatement("SELECT coalesce(max(number), 0) + 1 FROM " + table);
        ResultSet row = select.executeQuery()) {
      row.next();
      return row.getLong(1);
    }
  }
}
