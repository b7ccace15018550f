// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.nio.ByteBuffer;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Instant;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;

/**
 * The arrivals log in the readings' SQLite file: one row for each batch, its entries packed as
 * packet id (2 bytes), fingerprint (8) and time in ms since 1970 (8), so that a batch costs one
 * small write. That reaches the disk with the readings, which come next: one wait for it, not two.
 */
final class SqliteArrivals implements ArrivalLog {

  private static final int ENTRY_BYTES = 2 + 8 + 8;

  private final SqliteReadings store;
  private final int window;

  /** How many entries each row holds that is still there, oldest first. */
  private final Deque<Integer> rowSizes = new ArrayDeque<>();

  private int entries;

  SqliteArrivals(SqliteReadings store, int window) {
    this.store = store;
    this.window = window;
    for (List<Arrival> row : rows()) {
      rowSizes.addLast(row.size());
      entries += row.size();
    }
  }

  @Override
  public void record(List<Arrival> arrivals) {
    if (arrivals.isEmpty()) {
      return;
    }
    var unused =
        store.writeAheadOfNext("record arrivals", connection -> insert(connection, arrivals));
    rowSizes.addLast(arrivals.size());
    entries += arrivals.size();
    while (!rowSizes.isEmpty() && entries - rowSizes.getFirst() >= window) {
      entries -= rowSizes.removeFirst();
    }
  }

  private int insert(Connection connection, List<Arrival> arrivals) throws SQLException {
    try (PreparedStatement insert =
            connection.prepareStatement("INSERT INTO arrivals (count, entries) VALUES (?, ?)");
        PreparedStatement forget =
            connection.prepareStatement(
                "DELETE FROM arrivals WHERE id <="
                    + " (SELECT id FROM arrivals ORDER BY id DESC LIMIT 1 OFFSET ?)")) {
      insert.setInt(1, arrivals.size());
      insert.setBytes(2, pack(arrivals));
      insert.executeUpdate();
      forget.setInt(1, rowSizes.size() + 1);
      return forget.executeUpdate();
    }
  }

  @Override
  public List<Arrival> latest() {
    return rows().stream().flatMap(List::stream).toList();
  }

  private List<List<Arrival>> rows() {
    return store.write(
        "read arrivals",
        connection -> {
          List<List<Arrival>> rows = new ArrayList<>();
          try (Statement statement = connection.createStatement();
              ResultSet row = statement.executeQuery("SELECT entries FROM arrivals ORDER BY id")) {
            while (row.next()) {
              rows.add(unpack(row.getBytes(1)));
            }
          }
          return rows;
        });
  }

  private static byte[] pack(List<Arrival> arrivals) {
    ByteBuffer packed = ByteBuffer.allocate(arrivals.size() * ENTRY_BYTES);
    for (Arrival arrival : arrivals) {
      packed
          .putShort((short) arrival.packetId())
          .putLong(arrival.fingerprint())
          .putLong(arrival.time().toEpochMilli());
    }
    return packed.array();
  }

  private static List<Arrival> unpack(byte[] packed) {
    ByteBuffer left = ByteBuffer.wrap(packed);
    List<Arrival> arrivals = new ArrayList<>(packed.length / ENTRY_BYTES);
    while (left.remaining() >= ENTRY_BYTES) {
      arrivals.add(
          new Arrival(
              Short.toUnsignedInt(left.getShort()),
              left.getLong(),
              Instant.ofEpochMilli(left.getLong())));
    }
    return arrivals;
  }
}
