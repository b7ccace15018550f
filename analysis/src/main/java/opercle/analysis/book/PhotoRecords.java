// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import opercle.analysis.tripfile.TripPhoto;

/**
 * Pictures that go with entries of trips and of the records, at most one each, in the farm book.
 * Reads and writes the disk; for any thread. Everything throws {@link BookException} where the book
 * cannot be used.
 */
public final class PhotoRecords {

  private final FarmBook book;
  private final String farm;

  /** Those of a farm in a book. */
  public PhotoRecords(FarmBook book, String farm) {
    this.book = book;
    this.farm = farm;
  }

  /** What became of a picture. */
  public enum Outcome {
    KEPT,
    /** The same one was there already. */
    KEPT_BEFORE,
    /** Another one is there, which stays. */
    ANOTHER_IS_THERE
  }

  /** Whether pictures can be kept here: the book was opened for writing. */
  public boolean isWritable() {
    return book.isWritable();
  }

  /**
   * Keeps a picture, which is on the disk when this returns.
   *
   * @param about the id of the entry that it goes with
   * @param sent names what was sent; the same again is the same picture
   */
  public Outcome keep(String about, Instant time, String by, String sent, byte[] jpeg) {
    return book.write(
        "take a picture",
        connection -> {
          Optional<String> there = sent(connection, about);
          if (there.isPresent()) {
            return there.get().equals(sent) ? Outcome.KEPT_BEFORE : Outcome.ANOTHER_IS_THERE;
          }
          insert(connection, farm, about, time, by, sent, jpeg);
          return Outcome.KEPT;
        });
  }

  private static void insert(
      Connection connection,
      String farm,
      String about,
      Instant time,
      String by,
      String sent,
      byte[] jpeg)
      throws SQLException {
    try (PreparedStatement insert =
        connection.prepareStatement(
            "INSERT INTO photo (about, farm, time, by_whom, sent, jpeg)"
                + " VALUES (?, ?, ?, ?, ?, ?)")) {
      insert.setString(1, about);
      insert.setString(2, farm);
      insert.setLong(3, BookTime.micros(time));
      insert.setString(4, by);
      insert.setString(5, sent);
      insert.setBytes(6, jpeg);
      insert.executeUpdate();
    }
  }

  /** Adds those of a trip's file whose entries have none yet; how many. */
  static int add(Connection connection, String farm, List<TripPhoto> photos) throws SQLException {
    int added = 0;
    for (TripPhoto photo : photos) {
      if (sent(connection, photo.about()).isEmpty()) {
        insert(
            connection, farm, photo.about(), photo.time(), photo.by(), photo.sent(), photo.jpeg());
        added++;
      }
    }
    return added;
  }

  /** The pictures of these entries, for a trip's file. */
  public List<TripPhoto> of(Collection<String> entries) {
    return book.read(
        "read the pictures of a trip",
        connection -> {
          List<TripPhoto> photos = new ArrayList<>();
          try (PreparedStatement select =
              connection.prepareStatement(
                  "SELECT time, by_whom, sent, jpeg FROM photo WHERE about = ? AND farm = ?")) {
            for (String about : entries) {
              select.setString(1, about);
              select.setString(2, farm);
              try (ResultSet row = select.executeQuery()) {
                if (row.next()) {
                  photos.add(
                      TripPhoto.of(
                          about,
                          BookTime.instant(row.getLong(1)),
                          row.getString(2),
                          row.getString(3),
                          row.getBytes(4)));
                }
              }
            }
          }
          return photos;
        });
  }

  private static Optional<String> sent(Connection connection, String about) throws SQLException {
    try (PreparedStatement select =
        connection.prepareStatement("SELECT sent FROM photo WHERE about = ?")) {
      select.setString(1, about);
      try (ResultSet row = select.executeQuery()) {
        return row.next() ? Optional.of(row.getString(1)) : Optional.empty();
      }
    }
  }

  /** The picture that goes with an entry, JPEG. */
  public Optional<byte[]> find(String about) {
    return book.read(
        "give a picture",
        connection -> {
          try (PreparedStatement select =
              connection.prepareStatement("SELECT jpeg FROM photo WHERE about = ? AND farm = ?")) {
            select.setString(1, about);
            select.setString(2, farm);
            try (ResultSet row = select.executeQuery()) {
              return row.next() ? Optional.of(row.getBytes(1)) : Optional.<byte[]>empty();
            }
          }
        });
  }

  /** Which of these entries have one. */
  public Set<String> among(Collection<String> entries) {
    return book.read(
        "look for pictures",
        connection -> {
          Set<String> found = new HashSet<>();
          for (String entry : entries) {
            if (sent(connection, entry).isPresent()) {
              found.add(entry);
            }
          }
          return found;
        });
  }
}
