// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.util.Optional;
import opercle.analysis.book.BookPlace;
import opercle.analysis.book.FarmBook;
import org.jspecify.annotations.Nullable;

/**
 * The farm book that another process writes: opened for reading once it is there. For any thread.
 */
final class BookToRead implements AutoCloseable {

  private final BookPlace place;
  private @Nullable FarmBook book;
  private @Nullable FarmBook access;

  BookToRead(BookPlace place) {
    this.place = place;
  }

  /**
   * The book; empty while there is none.
   *
   * @throws opercle.analysis.book.BookException if it cannot be read
   */
  synchronized Optional<FarmBook> book() {
    if (book == null && place.isThere()) {
      book = FarmBook.openReadOnly(place);
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
      access = FarmBook.open(place);
    }
    return Optional.ofNullable(access);
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
