// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import opercle.analysis.book.BookException;
import opercle.analysis.book.BookPlace;
import opercle.analysis.book.BookServer;
import opercle.analysis.book.FarmBook;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class BookWaitTest {

  @TempDir Path folder;

  /** Nobody listens to that port. */
  private static final BookPlace AWAY =
      BookPlace.server(
          new BookServer(
              "127.0.0.1", 9, "opercle", "opercle", Optional.empty(), false, Optional.empty()));

  @Test
  void serverThatIsAway_isWaitedFor() {
    List<Duration> waits = new ArrayList<>();
    FarmBook book =
        BookWait.untilThere(
            () -> waits.size() < 3 ? FarmBook.open(AWAY) : FarmBook.open(FarmBook.fileIn(folder)),
            waits::add);

    assertThat(waits).hasSize(3);
    assertThat(book.isWritable()).isTrue();
    book.close();
  }

  @Test
  void bookThatCannotBeOpenedAnyway_isNotWaitedFor() {
    assertThatThrownBy(
            () ->
                BookWait.untilThere(
                    () -> {
                      throw new BookException("written by a newer version");
                    },
                    time -> {
                      throw new AssertionError("waited");
                    }))
        .isInstanceOf(BookException.class);
  }
}
