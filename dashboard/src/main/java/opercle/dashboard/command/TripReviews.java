// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.util.concurrent.Executors;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import opercle.analysis.book.BookException;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Has ended trips laid down in the farm book, once a minute on a thread of its own, whether anybody
 * looks at them or not: the next plan goes by what they taught.
 */
final class TripReviews implements AutoCloseable {

  private static final Logger log = LoggerFactory.getLogger(TripReviews.class);

  private final ScheduledExecutorService thread =
      Executors.newSingleThreadScheduledExecutor(
          task -> {
            Thread t = new Thread(task, "trip-reviews");
            t.setDaemon(true);
            return t;
          });

  private TripReviews() {}

  /**
   * Begins.
   *
   * @param layDown some of them; called again and again
   */
  static TripReviews start(Runnable layDown) {
    TripReviews reviews = new TripReviews();
    var unused = reviews.thread.scheduleWithFixedDelay(() -> look(layDown), 1, 1, TimeUnit.MINUTES);
    return reviews;
  }

  private static void look(Runnable layDown) {
    try {
      layDown.run();
    } catch (BookException e) {
      log.warn("trips that have ended are laid down later: {}", e.getMessage());
    } catch (RuntimeException e) {
      log.error("trips that have ended could not be laid down", e); // the next minute tries again
    }
  }

  @Override
  public void close() {
    thread.shutdownNow();
  }
}
