// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.SQLException;
import java.time.Duration;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.ReentrantLock;
import org.jspecify.annotations.Nullable;

/**
 * The farm book: one database, a file or on a server ({@link BookPlace}), for what a farm keeps for
 * good. Rows are added, never rewritten.
 *
 * <p>A transaction is on the disk when {@link #write} returns, so that neither a killed process nor
 * a pulled plug loses it. One transaction writes at a time, whatever the number of processes. The
 * SQL is plain, the same for each database: times are microseconds since 1970 ({@link BookTime}),
 * ids are text.
 *
 * <p>For any thread: writing takes turns, reading goes through connections of its own and does not
 * wait for it.
 */
public final class FarmBook implements AutoCloseable {

  private static final String FILE_NAME = "book.db";

  /** More than a server is given to answer: who waits longer waits behind others that do. */
  private static final Duration TURN_WITHIN = Duration.ofSeconds(20);

  private final BookPlace place;
  private final boolean writable;
  private final BookPlace.Readers readers;
  private final ReadFarms farms = new ReadFarms();
  private final ReentrantLock turn = new ReentrantLock();
  private @Nullable Connection writer;
  private boolean closed;

  /** Whether something within the transaction that runs has thrown; guarded by the turn. */
  private boolean aPartFailed;

  private FarmBook(BookPlace place, boolean writable) {
    this.place = place;
    this.writable = writable;
    this.readers = place.readers();
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

  /** As {@link #open(BookPlace)}, a SQLite file. */
  public static FarmBook open(Path file) {
    return open(BookPlace.file(file));
  }

  /** As {@link #openReadOnly(BookPlace)}, a SQLite file. */
  public static FarmBook openReadOnly(Path file) {
    return openReadOnly(BookPlace.file(file));
  }

  /**
   * Opens a book for writing and reading, in the present form; a file and its folder are made if
   * they are not there, the tables on a server too.
   *
   * @throws BookException if the place cannot be used, with the reason
   */
  public static FarmBook open(BookPlace place) {
    place.prepare();
    Migrations.bringUpToDate(place);
    return new FarmBook(place, true);
  }

  /**
   * Opens an existing book for reading only, for instance while another process writes it.
   *
   * @throws BookException if there is none, it cannot be read, or its form is another
   */
  public static FarmBook openReadOnly(BookPlace place) {
    if (!place.isThere()) {
      throw new BookException(
          "the farm book %s does not exist; start the analyse service first, or correct the path"
              .formatted(place));
    }
    Migrations.requireUpToDate(place);
    return new FarmBook(place, false);
  }

  /**
   * Does the work in one transaction, which is on the disk when this returns, and has left no trace
   * when it throws. One exception: a connection that breaks while a server says that it has it;
   * whether it has is then not known. What is written while the work runs, on the same thread, is
   * part of it: both or neither, also where whoever began it has caught what the inner one threw.
   *
   * @param what completes "the farm book … could not …"
   * @throws BookException if the database refuses or does not answer; trying again is safe
   * @throws UnsupportedOperationException if the book was opened for reading only
   */
  public <T> T write(String what, Work<T> work) {
    if (!writable) {
      throw new UnsupportedOperationException(
          "the farm book %s was opened for reading only".formatted(place));
    }
    @Nullable Connection begun = writer;
    if (turn.isHeldByCurrentThread() && begun != null) {
      return part(what, work, begun);
    }
    awaitTurn(what);
    boolean done = false;
    try {
      aPartFailed = false;
      if (closed) {
        throw new BookException("the farm book %s is closed".formatted(place));
      }
      Connection connection = begin();
      T result = work.run(connection);
      if (aPartFailed) {
        throw new BookException(
            "the farm book %s could not %s: a part of it failed, so nothing is kept"
                .formatted(place, what));
      }
      connection.commit();
      connection.setAutoCommit(true);
      done = true;
      return result;
    } catch (SQLException e) {
      throw BookException.failed(place, what, e);
    } finally {
      if (!done) {
        drop(); // whatever was thrown, the next one must not commit half of this
      }
      turn.unlock();
    }
  }

  /** Within another: where it fails the whole must not be kept, whoever catches what it throws. */
  private <T> T part(String what, Work<T> work, Connection begun) {
    boolean done = false;
    try {
      T result = work.run(begun);
      done = true;
      return result;
    } catch (SQLException e) {
      throw BookException.failed(place, what, e);
    } finally {
      aPartFailed |= !done;
    }
  }

  /**
   * Reads the latest state that is on the disk.
   *
   * @param what completes "the farm book … could not …"
   * @throws BookException if the database refuses or does not answer
   */
  public <T> T read(String what, Work<T> work) {
    try (Connection connection = readers.connection()) {
      return work.run(connection);
    } catch (SQLException e) {
      throw BookException.failed(place, what, e);
    }
  }

  /**
   * Waits until the database says that it would let somebody write now.
   *
   * @throws BookException if it does not
   */
  public void requireAnswer() {
    boolean unused = write("take anything", connection -> true);
  }

  /** The farms in it that were read already. */
  ReadFarms farms() {
    return farms;
  }

  /** Where it is. */
  public BookPlace place() {
    return place;
  }

  /** Whether it was opened for writing. */
  public boolean isWritable() {
    return writable;
  }

  /** Closes the book; what was written stays. Calling it again does nothing. */
  @Override
  public void close() {
    turn.lock();
    try {
      closed = true;
      drop();
    } finally {
      turn.unlock();
    }
    readers.close();
  }

  private void awaitTurn(String what) {
    try {
      // The first does not look whether we are asked to end: what is free can still be written.
      if (turn.tryLock() || turn.tryLock(TURN_WITHIN.toMillis(), TimeUnit.MILLISECONDS)) {
        return;
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
    throw new BookException(
        "the farm book %s could not %s: it is still busy with what came before"
            .formatted(place, what));
  }

  private Connection begin() throws SQLException {
    @Nullable Connection kept = writer;
    if (kept != null) {
      try {
        return begin(kept);
      } catch (SQLException e) {
        if (!place.isGone(e)) {
          throw e;
        }
        drop(); // it went while nobody wrote, as when a server is started again: nothing is lost
      }
    }
    Connection opened = place.writer();
    writer = opened;
    return begin(opened);
  }

  private Connection begin(Connection connection) throws SQLException {
    connection.setAutoCommit(false);
    place.takeTurn(connection);
    return connection;
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
}
