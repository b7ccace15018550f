// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.time.Duration;
import java.util.Optional;
import java.util.function.LongSupplier;
import java.util.function.Supplier;
import opercle.analysis.book.BookException;
import opercle.analysis.book.BookPlace;
import opercle.analysis.book.FarmBook;
import org.jspecify.annotations.Nullable;

/**
 * The farm book that another process writes: opened for reading once it is there. For any thread.
 */
final class BookToRead implements AutoCloseable {

  /** As long as nobody need ask again where it could not be opened; each try may take seconds. */
  private static final Duration LEFT_ALONE = Duration.ofSeconds(5);

  private final BookPlace place;
  private final LongSupplier nanos;
  private @Nullable FarmBook book;
  private @Nullable FarmBook access;
  private @Nullable BookException failure;
  private long failedAtNanos;

  BookToRead(BookPlace place) {
    this(place, System::nanoTime);
  }

  BookToRead(BookPlace place, LongSupplier nanos) {
    this.place = place;
    this.nanos = nanos;
  }

  /**
   * The book; empty while there is none.
   *
   * @throws opercle.analysis.book.BookException if it cannot be read
   */
  synchronized Optional<FarmBook> book() {
    if (book == null) {
      book = opened(() -> place.isThere() ? FarmBook.openReadOnly(place) : null);
    }
    return Optional.ofNullable(book);
  }

  /**
   * The same book for users and sessions, which any process may write; empty while there is none.
   *
   * @throws opercle.analysis.book.BookException if it cannot be used
   */
  synchronized Optional<FarmBook> forAccess() {
    // Read first: whoever watches the tanks brings the book up to date, and nobody else.
    if (access == null && book().isPresent()) {
      access = opened(() -> FarmBook.open(place));
    }
    return Optional.ofNullable(access);
  }

  private @Nullable FarmBook opened(Supplier<@Nullable FarmBook> opening) {
    if (failure != null && nanos.getAsLong() - failedAtNanos < LEFT_ALONE.toNanos()) {
      throw new BookException(String.valueOf(failure.getMessage()), failure);
    }
    try {
      @Nullable FarmBook found = opening.get();
      failure = null;
      return found;
    } catch (BookException e) {
      failure = e;
      failedAtNanos = nanos.getAsLong();
      throw e;
    }
  }

  @Override
  public synchronized void close() {
    if (access != null) {
      access.close();
    }
    if (book != null) {
      book.close();
    }
  }
}
