// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.SQLException;
import org.sqlite.SQLiteConfig;
import org.sqlite.SQLiteConfig.JournalMode;
import org.sqlite.SQLiteConfig.SynchronousMode;

/** Opens connections to a SQLite file in the two ways in which the store uses one. */
final class SqliteConnections {

  /** How long to wait for another process that is writing or checkpointing. */
  private static final int BUSY_TIMEOUT_MS = 5_000;

  private SqliteConnections() {}

  static Connection writing(Path file) throws SQLException {
    SQLiteConfig config = new SQLiteConfig();
    config.setBusyTimeout(BUSY_TIMEOUT_MS);
    config.setJournalMode(JournalMode.WAL);
    config.setSynchronous(SynchronousMode.FULL);
    // Nobody asks for them, and the driver would look one up with a statement after each insert.
    config.setGetGeneratedKeys(false);
    return config.createConnection("jdbc:sqlite:" + file.toAbsolutePath());
  }

  static Connection reading(Path file) throws SQLException {
    SQLiteConfig config = new SQLiteConfig();
    config.setBusyTimeout(BUSY_TIMEOUT_MS);
    config.setReadOnly(true);
    return config.createConnection("jdbc:sqlite:" + file.toAbsolutePath());
  }
}
