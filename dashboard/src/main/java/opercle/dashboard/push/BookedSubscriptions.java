// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.push;

import java.net.URI;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import opercle.analysis.book.BookException;
import opercle.analysis.book.FarmBook;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Subscriptions in the farm book, so that a restart leaves nobody's phone silent; and in memory, so
 * that a book that cannot be read, on a full disk for instance, does not either. For any thread.
 */
public final class BookedSubscriptions implements Subscriptions {

  private static final String KEEP =
      """
      INSERT INTO push_subscription (endpoint, p256dh, auth, person, since) VALUES (?, ?, ?, ?, ?)
      ON CONFLICT (endpoint) DO UPDATE SET
        p256dh = excluded.p256dh, auth = excluded.auth, person = excluded.person,
        since = excluded.since
      """;
  private static final String FORGET = "DELETE FROM push_subscription WHERE endpoint = ?";
  private static final String ALL =
      "SELECT endpoint, p256dh, auth, person, since FROM push_subscription ORDER BY since, endpoint";

  private static final Logger log = LoggerFactory.getLogger(BookedSubscriptions.class);

  private final FarmBook book;
  private volatile List<PushSubscription> lastRead = List.of();

  public BookedSubscriptions(FarmBook book) {
    this.book = book;
    var unused = all();
  }

  @Override
  public void keep(PushSubscription subscription) {
    book.write(
        "keep a device that asked for notices",
        connection -> {
          try (PreparedStatement statement = connection.prepareStatement(KEEP)) {
            statement.setString(1, subscription.endpoint().toString());
            statement.setString(2, subscription.p256dh());
            statement.setString(3, subscription.auth());
            statement.setString(4, subscription.person());
            statement.setLong(5, ChronoUnit.MICROS.between(Instant.EPOCH, subscription.since()));
            return statement.executeUpdate();
          }
        });
    var unused = all();
  }

  @Override
  public boolean forget(URI endpoint) {
    boolean forgotten =
        book.write(
            "forget a device",
            connection -> {
              try (PreparedStatement statement = connection.prepareStatement(FORGET)) {
                statement.setString(1, endpoint.toString());
                return statement.executeUpdate() > 0;
              }
            });
    var unused = all();
    return forgotten;
  }

  /** All of them; where the book cannot be read, those that it held last. */
  @Override
  public List<PushSubscription> all() {
    try {
      lastRead = List.copyOf(read());
    } catch (BookException e) {
      log.warn("notices: devices are called from memory", e);
    }
    return lastRead;
  }

  private List<PushSubscription> read() {
    return book.read(
        "list the devices that asked for notices",
        connection -> {
          List<PushSubscription> all = new ArrayList<>();
          try (PreparedStatement statement = connection.prepareStatement(ALL);
              ResultSet rows = statement.executeQuery()) {
            while (rows.next()) {
              all.add(
                  PushSubscription.of(
                      rows.getString(1),
                      rows.getString(2),
                      rows.getString(3),
                      rows.getString(4),
                      Instant.EPOCH.plus(rows.getLong(5), ChronoUnit.MICROS)));
            }
          }
          return all;
        });
  }
}
