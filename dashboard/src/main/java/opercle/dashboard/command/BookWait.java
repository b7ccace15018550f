// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.time.Duration;
import java.util.function.Supplier;
import opercle.analysis.book.BookException;
import opercle.analysis.book.FarmBook;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Waits at the start for a farm book on a server that is away, for as long as it takes. Nothing is
 * watched meanwhile: what is in which tank stands in the book, and a watch that goes by what a file
 * says of last month's fish would wake people wrongly, and not when it should. A try at a server
 * that hangs takes as long as a connection or an answer is waited for, seconds each.
 */
final class BookWait {

  private static final Logger log = LoggerFactory.getLogger(BookWait.class);

  private static final Duration AGAIN_AFTER = Duration.ofSeconds(3);
  private static final int TOLD_EVERY = 20;

  private BookWait() {}

  /** Between two tries. */
  interface Pause {
    void of(Duration time) throws InterruptedException;
  }

  /**
   * The book, once it can be opened.
   *
   * @throws BookException if it could not be opened with its server well either
   */
  static FarmBook untilThere(Supplier<FarmBook> opening, Pause pause) {
    for (int tries = 0; ; tries++) {
      try {
        FarmBook book = opening.get();
        if (tries > 0) {
          log.info("the farm book {} answers", book.place());
        }
        return book;
      } catch (BookException e) {
        if (!e.isAway()) {
          throw e;
        }
        if (tries % TOLD_EVERY == 0) {
          log.error("{}. No tank is watched until it answers; trying again.", e.getMessage());
        }
        waitFor(pause, e);
      }
    }
  }

  private static void waitFor(Pause pause, BookException why) {
    try {
      pause.of(AGAIN_AFTER);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw why;
    }
  }
}
