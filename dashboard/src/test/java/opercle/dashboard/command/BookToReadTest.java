// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.atomic.AtomicLong;
import opercle.analysis.book.BookException;
import opercle.analysis.book.BookPlace;
import opercle.analysis.book.FarmBook;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class BookToReadTest {

  @TempDir Path folder;

  @Test
  void bookThatIsNotThereYet_isOpenedOnceItIs() {
    Path file = FarmBook.fileIn(folder);
    try (BookToRead reading = new BookToRead(BookPlace.file(file))) {
      assertThat(reading.book()).isEmpty();
      FarmBook.open(file).close();
      assertThat(reading.book()).isPresent();
      assertThat(reading.forAccess()).isPresent();
    }
  }

  /** Where opening fails it is slow, as when a server is away: no page is to wait for it again. */
  @Test
  void bookThatCannotBeOpened_isLeftAloneForSeconds() throws Exception {
    Path file = FarmBook.fileIn(folder);
    Files.writeString(file, "no database at all, but some text that is longer than its head");
    AtomicLong nanos = new AtomicLong();
    try (BookToRead reading = new BookToRead(BookPlace.file(file), nanos::get)) {
      assertThatThrownBy(reading::book).isInstanceOf(BookException.class);
      Files.delete(file);
      FarmBook.open(file).close();
      nanos.addAndGet(4_900_000_000L);
      assertThatThrownBy(reading::book).isInstanceOf(BookException.class);

      nanos.addAndGet(200_000_000L);
      assertThat(reading.book()).isPresent();
    }
  }
}
