// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.SQLException;
import javax.sql.DataSource;
import opercle.ingest.store.SqliteWords;

/**
 * Where a farm book is, and all in which the databases differ. {@link #toString} names it to
 * people.
 */
public abstract class BookPlace {

  BookPlace() {}

  /** A SQLite file. */
  public static BookPlace file(Path file) {
    return new SqliteFile(file);
  }

  /** The SQLite file in a data folder. */
  public static BookPlace in(Path dataFolder) {
    return file(FarmBook.fileIn(dataFolder));
  }

  /** A database of a PostgreSQL server. */
  public static BookPlace server(BookServer server) {
    return new PostgresServer(server);
  }

  /**
   * Whether there is a book, which somebody has opened for writing before.
   *
   * @throws BookException if that cannot be told
   */
  public abstract boolean isThere();

  /** Whether it is reached over a network, and so may be away while this machine is well. */
  public abstract boolean isElsewhere();

  /**
   * Makes what a new book needs.
   *
   * @throws BookException if the place cannot be used, with the reason
   */
  abstract void prepare();

  /** Connections that may take their time, to bring the book to the present form. */
  abstract DataSource migrating();

  /** Connections that change nothing, to see which form the book has. */
  abstract DataSource looking();

  /** A connection of which a commit is on the disk when it returns. */
  abstract Connection writer() throws SQLException;

  /**
   * Makes the transaction that has just been begun the only one that writes, in all processes,
   * until its end.
   */
  abstract void takeTurn(Connection connection) throws SQLException;

  /** Whether a connection is of no use any more, and another one may be. */
  abstract boolean isGone(SQLException e);

  /** Whether a failure ends by itself when the server is back. */
  boolean isAway(Exception e) {
    return false;
  }

  /** Why something failed, in one line: without rows, positions and hints below it. */
  String reason(Exception e) {
    String message = String.valueOf(e.getMessage());
    return SqliteWords.why(e).orElseGet(() -> message.lines().findFirst().orElse(message).strip());
  }

  /** Opens a way to read. */
  abstract Readers readers();

  /** Connections that read only. For any thread. */
  interface Readers extends AutoCloseable {

    /** To be closed after use. */
    Connection connection() throws SQLException;

    @Override
    void close();
  }
}
