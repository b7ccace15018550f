// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import com.zaxxer.hikari.HikariConfig;
import com.zaxxer.hikari.HikariDataSource;
import java.sql.Connection;
import java.sql.SQLException;
import java.time.Duration;
import java.util.concurrent.atomic.AtomicReference;
import javax.sql.DataSource;
import org.jspecify.annotations.Nullable;

/**
 * A few connections to read with, used in turn. Each question of a page needs one: while the server
 * is away one question in two seconds waits for it, and the others are told so at once, so that no
 * page is slow for it.
 */
final class PostgresReaders implements BookPlace.Readers {

  private static final int MOST = 6;
  private static final Duration ASK_AGAIN_AFTER = Duration.ofSeconds(2);

  /** Why it is away, and until when nobody need ask again. */
  private record Away(SQLException why, long untilNanos) {}

  private final HikariDataSource pool;
  private final AtomicReference<@Nullable Away> away = new AtomicReference<>();

  PostgresReaders(DataSource source, Duration connectWithin) {
    this.pool = pool(source, connectWithin);
  }

  private static HikariDataSource pool(DataSource source, Duration connectWithin) {
    HikariConfig config = new HikariConfig();
    config.setPoolName("farm-book");
    config.setDataSource(source);
    config.setMaximumPoolSize(MOST);
    config.setMinimumIdle(1);
    config.setConnectionTimeout(connectWithin.toMillis());
    config.setValidationTimeout(connectWithin.toMillis());
    // Asked for by name: a pool that could not find out what is usual, because the server went just
    // then, would ask each connection for none, in vain and without an end.
    config.setTransactionIsolation("TRANSACTION_READ_COMMITTED");
    config.setInitializationFailTimeout(-1); // whether it can be reached was asked before
    return new HikariDataSource(config);
  }

  @Override
  public Connection connection() throws SQLException {
    @Nullable Away known = away.get();
    if (known != null) {
      long now = System.nanoTime();
      Away asking = new Away(known.why, now + ASK_AGAIN_AFTER.toNanos());
      if (known.untilNanos - now > 0 || !away.compareAndSet(known, asking)) {
        throw again(known.why);
      }
    }
    try {
      Connection connection = pool.getConnection();
      away.set(null);
      return PlainText.in(connection);
    } catch (SQLException e) {
      // The pool says that it waited, and its cause for what.
      SQLException why = e.getCause() instanceof SQLException cause ? cause : e;
      away.set(new Away(why, System.nanoTime() + ASK_AGAIN_AFTER.toNanos()));
      throw again(why);
    }
  }

  private static SQLException again(SQLException why) {
    return new SQLException(why.getMessage(), why.getSQLState(), why);
  }

  @Override
  public void close() {
    pool.close();
  }
}
