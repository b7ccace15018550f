// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.time.Instant;
import java.util.HashMap;
import java.util.Map;
import java.util.OptionalLong;

/**
 * What entries of a farm's trips did to the records of their tanks, in the farm book. Reads and
 * writes the disk; for any thread. Everything throws {@link BookException} where the book cannot be
 * used.
 */
public final class TripTankRecords {

  private final FarmBook book;
  private final String farm;

  /** Those of a farm, by its name. */
  public TripTankRecords(FarmBook book, String farm) {
    this.book = book;
    this.farm = farm;
  }

  /**
   * Keeps that a trip's entry was followed by the tank's record, or that it was left as it is; does
   * nothing where that is kept already.
   *
   * @param changed whether the farm's newest version was made by it; then to be called with that
   */
  public void keep(String trip, String entry, boolean changed, Instant time, String by) {
    book.write(
        "keep what a trip did to its tank",
        connection -> {
          try (PreparedStatement insert =
              connection.prepareStatement(
                  "INSERT INTO trip_tank (farm, trip, entry, version, changed, time, by_whom)"
                      + " VALUES (?, ?, ?, (SELECT coalesce(max(number), 0) FROM farm_version),"
                      + " ?, ?, ?) ON CONFLICT (farm, trip, entry) DO NOTHING")) {
            insert.setString(1, farm);
            insert.setString(2, trip);
            insert.setString(3, entry);
            insert.setInt(4, changed ? 1 : 0);
            insert.setLong(5, BookTime.micros(time));
            insert.setString(6, by);
            return insert.executeUpdate();
          }
        });
  }

  /**
   * The entries of a trip that the tank's record has followed, or was left by.
   *
   * @return by entry the farm's version that it made; empty where it made none
   */
  public Map<String, OptionalLong> of(String trip) {
    return book.read(
        "read what a trip did to its tank",
        connection -> {
          try (PreparedStatement select =
              connection.prepareStatement(
                  "SELECT entry, version, changed FROM trip_tank WHERE farm = ? AND trip = ?")) {
            select.setString(1, farm);
            select.setString(2, trip);
            Map<String, OptionalLong> versions = new HashMap<>();
            try (ResultSet row = select.executeQuery()) {
              while (row.next()) {
                versions.put(
                    row.getString(1),
                    row.getInt(3) == 1 ? OptionalLong.of(row.getLong(2)) : OptionalLong.empty());
              }
            }
            return versions;
          }
        });
  }

  /**
   * The number of the farm's version that was the newest when an entry was kept; 0 where there was
   * none, or the entry is not kept.
   */
  public long versionAt(String trip, String entry) {
    return book.read(
        "read what a trip did to its tank",
        connection -> {
          try (PreparedStatement select =
              connection.prepareStatement(
                  "SELECT version FROM trip_tank WHERE farm = ? AND trip = ? AND entry = ?")) {
            select.setString(1, farm);
            select.setString(2, trip);
            select.setString(3, entry);
            try (ResultSet row = select.executeQuery()) {
              return row.next() ? row.getLong(1) : 0L;
            }
          }
        });
  }
}
