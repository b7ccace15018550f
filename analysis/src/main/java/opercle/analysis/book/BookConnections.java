// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import java.nio.file.Path;
import org.sqlite.SQLiteConfig;
import org.sqlite.SQLiteConfig.JournalMode;
import org.sqlite.SQLiteConfig.SynchronousMode;
import org.sqlite.SQLiteConfig.TransactionMode;
import org.sqlite.SQLiteDataSource;

/** Where connections to a farm book come from; all that knows that it is a SQLite file. */
final class BookConnections {

  /** How long to wait for another process that is writing or checkpointing. */
  private static final int BUSY_TIMEOUT_MS = 5_000;

  private BookConnections() {}

  /** On the disk at each commit, so that a pulled plug loses nothing. */
  static SQLiteDataSource writing(Path file) {
    SQLiteConfig config = new SQLiteConfig();
    config.setJournalMode(JournalMode.WAL);
    config.setSynchronous(SynchronousMode.FULL);
    // A transaction that begins by reading would be refused, not made to wait, when it writes.
    config.setTransactionMode(TransactionMode.IMMEDIATE);
    return source(file, config);
  }

  static SQLiteDataSource reading(Path file) {
    SQLiteConfig config = new SQLiteConfig();
    config.setReadOnly(true);
    return source(file, config);
  }

  private static SQLiteDataSource source(Path file, SQLiteConfig config) {
    config.setBusyTimeout(BUSY_TIMEOUT_MS);
    config.enforceForeignKeys(true);
    SQLiteDataSource source = new SQLiteDataSource(config);
    source.setUrl("jdbc:sqlite:" + file.toAbsolutePath());
    return source;
  }
}
