// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.monitor;

import java.util.Locale;
import java.util.Map;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.Executor;
import java.util.concurrent.TimeUnit;
import opercle.analysis.book.BookException;
import opercle.analysis.book.FarmBook;
import opercle.analysis.monitor.TroubleKey;
import opercle.analysis.monitor.TroubleKind;

/**
 * The way to a farm book that is on a database server, asked every ten seconds: whether it would
 * let somebody write.
 *
 * <p>For one thread. The server is waited for elsewhere.
 */
public final class BookLeg implements Leg {

  private static final long EVERY_NANOS = TimeUnit.SECONDS.toNanos(10);
  private static final long HANGS_NANOS = TimeUnit.SECONDS.toNanos(30);

  private final String place;
  private final Runnable asking;
  private final Executor elsewhere;
  private CompletableFuture<Map<TroubleKey, String>> answer =
      CompletableFuture.completedFuture(Map.of());
  private Map<TroubleKey, String> found = Map.of();
  private long askedAt;
  private boolean asked;

  /** Asks a book that is open for writing. */
  public BookLeg(FarmBook book) {
    this(
        book.place().toString(),
        book::requireAnswer,
        task -> {
          Thread thread = new Thread(task, "self-watch-book");
          thread.setDaemon(true);
          thread.start();
        });
  }

  /**
   * @param asking throws {@link BookException} where there is no answer
   */
  BookLeg(String place, Runnable asking, Executor elsewhere) {
    this.place = place;
    this.asking = asking;
    this.elsewhere = elsewhere;
  }

  @Override
  public Map<TroubleKey, String> look(long steadyNanos) {
    if (answer.isDone()) {
      found = answer.join();
      if (!asked || steadyNanos - askedAt >= EVERY_NANOS) {
        asked = true;
        askedAt = steadyNanos;
        answer = CompletableFuture.supplyAsync(this::ask, elsewhere);
      }
    } else if (steadyNanos - askedAt >= HANGS_NANOS) {
      found = away("the farm book %s does not answer".formatted(place));
    }
    return found;
  }

  private Map<TroubleKey, String> ask() {
    try {
      asking.run();
      return Map.of();
    } catch (BookException e) {
      return away(String.valueOf(e.getMessage()));
    }
  }

  private static Map<TroubleKey, String> away(String why) {
    return Map.of(
        TroubleKey.of(TroubleKind.BOOK_AWAY),
        "%s%s. Alarms are told all the same and wait to be written down."
            .formatted(why.substring(0, 1).toUpperCase(Locale.ROOT), why.substring(1)));
  }
}
