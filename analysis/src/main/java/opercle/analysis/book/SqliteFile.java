// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.SQLException;
import javax.sql.DataSource;
import org.sqlite.SQLiteConfig;
import org.sqlite.SQLiteConfig.JournalMode;
import org.sqlite.SQLiteConfig.SynchronousMode;
import org.sqlite.SQLiteConfig.TransactionMode;
import org.sqlite.SQLiteDataSource;

/** A farm book in a SQLite file; all that knows that it is one. */
final class SqliteFile extends BookPlace {

  /** How long to wait for another process that is writing or checkpointing. */
  private static final int BUSY_TIMEOUT_MS = 5_000;

  private final Path file;

  SqliteFile(Path file) {
    this.file = file;
  }

  @Override
  public boolean isThere() {
    return Files.isRegularFile(file);
  }

  @Override
  public boolean isElsewhere() {
    return false;
  }

  @Override
  void prepare() {
    try {
      Path folder = file.toAbsolutePath().getParent();
      if (folder != null) {
        Files.createDirectories(folder);
      }
    } catch (IOException e) {
      throw BookException.failed(this, "be opened", e);
    }
  }

  @Override
  DataSource migrating() {
    return writing();
  }

  @Override
  SQLiteDataSource looking() {
    SQLiteConfig config = new SQLiteConfig();
    config.setReadOnly(true);
    return source(config);
  }

  @Override
  Connection writer() throws SQLException {
    return writing().getConnection();
  }

  /** On the disk at each commit, so that a pulled plug loses nothing. */
  private SQLiteDataSource writing() {
    SQLiteConfig config = new SQLiteConfig();
    config.setJournalMode(JournalMode.WAL);
    config.setSynchronous(SynchronousMode.FULL);
    // A transaction that begins by reading would be refused, not made to wait, when it writes.
    config.setTransactionMode(TransactionMode.IMMEDIATE);
    return source(config);
  }

  @Override
  void takeTurn(Connection connection) {
    // SQLite itself lets one transaction write.
  }

  @Override
  boolean isGone(SQLException e) {
    return false;
  }

  @Override
  Readers readers() {
    SQLiteDataSource source = looking();
    return new Readers() {
      @Override
      public Connection connection() throws SQLException {
        return source.getConnection();
      }

      @Override
      public void close() {
        // Each connection is closed after use.
      }
    };
  }

  private SQLiteDataSource source(SQLiteConfig config) {
    config.setBusyTimeout(BUSY_TIMEOUT_MS);
    config.enforceForeignKeys(true);
    SQLiteDataSource source = new SQLiteDataSource(config);
    source.setUrl("jdbc:sqlite:" + file.toAbsolutePath());
    return source;
  }

  @Override
  public String toString() {
    return file.toString();
  }
}
