// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.SQLException;
import java.util.Optional;
import javax.sql.DataSource;
import org.jspecify.annotations.Nullable;

/**
 * The farm book: one database file for what a farm keeps for good. Rows are added, never rewritten.
 *
 * <p>One process writes, any number read. A transaction is on the disk when {@link #write} returns,
 * so that neither a killed process nor a pulled plug loses it. The SQL is plain, so that the book
 * can move to a database server: times are microseconds since 1970 ({@link BookTime}), ids are
 * text.
 *
 * <p>For any thread: writing takes turns, reading goes through connections of its own and does not
 * wait for it.
 */
public final class FarmBook implements AutoCloseable {

  private static final String FILE_NAME = "book.db";

  private final Path file;
  private final Optional<DataSource> writing;
  private final DataSource reading;
  private final Object turn = new Object();
  private @Nullable Connection writer;
  private boolean closed;

  private FarmBook(Path file, Optional<DataSource> writing) {
    this.file = file;
    this.writing = writing;
    this.reading = BookConnections.reading(file);
  }

  /** Work on the database, without beginning or ending transactions. */
  @FunctionalInterface
  public interface Work<T> {
    T run(Connection connection) throws SQLException;
  }

  /** The book's file in a data folder. */
  public static Path fileIn(Path dataFolder) {
    return dataFolder.resolve(FILE_NAME);
  }

  /**
   * Opens a book for writing and reading, in the present form; the file and its folder are made if
   * they are not there.
   *
   * @throws BookException if the file cannot be used, with the reason
   */
  public static FarmBook open(Path file) {
    try {
      Path folder = file.toAbsolutePath().getParent();
      if (folder != null) {
        Files.createDirectories(folder);
      }
    } catch (IOException e) {
      throw failed(file, "be opened", e);
    }
    DataSource source = BookConnections.writing(file);
    Migrations.bringUpToDate(source, file);
    return new FarmBook(file, Optional.of(source));
  }

  /**
   * Opens an existing book for reading only, for instance while another process writes it.
   *
   * @throws BookException if there is no such file, it cannot be read, or its form is another
   */
  public static FarmBook openReadOnly(Path file) {
    if (!Files.isRegularFile(file)) {
      throw new BookException(
          "the farm book %s does not exist; start the analyse service first, or correct the path"
              .formatted(file));
    }
    FarmBook book = new FarmBook(file, Optional.empty());
    Migrations.requireUpToDate(book.reading, file);
    return book;
  }

  /**
   * Does the work in one transaction, which is on the disk when this returns, and has left no trace
   * when it throws.
   *
   * @param what completes "the farm book … could not …"
   * @throws BookException if the database refuses; trying again is safe
   * @throws UnsupportedOperationException if the book was opened for reading only
   */
  public <T> T write(String what, Work<T> work) {
    synchronized (turn) {
      if (closed) {
        throw new BookException("the farm book %s is closed".formatted(file));
      }
      boolean done = false;
      try {
        Connection connection = writer();
        connection.setAutoCommit(false);
        T result = work.run(connection);
        connection.commit();
        connection.setAutoCommit(true);
        done = true;
        return result;
      } catch (SQLException e) {
        throw failed(file, what, e);
      } finally {
        if (!done) {
          drop(); // whatever was thrown, the next one must not commit half of this
        }
      }
    }
  }

  /**
   * Reads the latest state that is on the disk.
   *
   * @param what completes "the farm book … could not …"
   * @throws BookException if the database refuses
   */
  public <T> T read(String what, Work<T> work) {
    try (Connection connection = reading.getConnection()) {
      return work.run(connection);
    } catch (SQLException e) {
      throw failed(file, what, e);
    }
  }

  /** Whether it was opened for writing. */
  public boolean isWritable() {
    return writing.isPresent();
  }

  /** Closes the book; what was written stays. Calling it again does nothing. */
  @Override
  public void close() {
    synchronized (turn) {
      closed = true;
      drop();
    }
  }

  private Connection writer() throws SQLException {
    @Nullable Connection open = writer;
    if (open == null) {
      open =
          writing
              .orElseThrow(
                  () ->
                      new UnsupportedOperationException(
                          "the farm book %s was opened for reading only".formatted(file)))
              .getConnection();
      writer = open;
    }
    return open;
  }

  /** A connection in an unknown state is not used again; closing it rolls back. */
  private void drop() {
    @Nullable Connection open = writer;
    writer = null;
    if (open != null) {
      try {
        open.close();
      } catch (SQLException e) {
        // What was committed is on the disk, and the rest is not wanted.
      }
    }
  }

  private static BookException failed(Path file, String what, Exception e) {
    return new BookException(
        "the farm book %s could not %s: %s".formatted(file, what, e.getMessage()), e);
  }
}
