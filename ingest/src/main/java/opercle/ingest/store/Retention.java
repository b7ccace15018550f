// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.Executors;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import opercle.ingest.reading.Series;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Deletes what is older than it needs to be, so that the disk does not fill: once an hour, a few
 * milliseconds at a time, with a rest after each in which new readings come in. Its room in the
 * file is used again; the file does not shrink.
 *
 * <p>Threads: one of its own, {@code readings-trim}. A store that cannot delete is told once an
 * hour, and tried again.
 */
public final class Retention implements AutoCloseable {

  private static final Logger LOG = LoggerFactory.getLogger(Retention.class);

  /** A bite of this many readings keeps the store for a few milliseconds; see performance.md. */
  static final int AT_ONCE = 1_000;

  private static final long REST_MS = 10;
  private static final long FINISH_TIMEOUT_MS = 10_000;

  /**
   * Deletes the oldest of a series from before a time, about so many; fewer if there are no more.
   */
  interface Bite {
    int take(Series series, Instant before, int most);
  }

  /**
   * How long something is kept.
   *
   * @param what for the log
   * @param keep by its own time
   */
  record Rule(String what, Duration keep, Bite bite) {}

  private final SqliteReadings store;
  private final List<Rule> rules;
  private final InstantSource clock;
  private final CountDownLatch closing = new CountDownLatch(1);
  private final ScheduledExecutorService thread =
      Executors.newSingleThreadScheduledExecutor(
          task -> {
            Thread t = new Thread(task, "readings-trim");
            t.setDaemon(true);
            return t;
          });

  Retention(SqliteReadings store, List<Rule> rules, InstantSource clock) {
    this.store = store;
    this.rules = List.copyOf(rules);
    this.clock = clock;
  }

  /**
   * Starts; the first time a minute from now.
   *
   * @param keepReadings how long readings are kept, by their own times; zero: for ever
   * @param keepMinutes how long each minute's least, most and mean are kept; zero: for ever. They
   *     take their readings with them
   */
  public static Retention start(
      SqliteReadings store, Duration keepReadings, Duration keepMinutes, InstantSource clock) {
    return start(store, rules(store, keepReadings, keepMinutes), clock);
  }

  static Retention start(SqliteReadings store, List<Rule> rules, InstantSource clock) {
    Retention retention = new Retention(store, rules, clock);
    var unused =
        retention.thread.scheduleWithFixedDelay(retention::hourly, 1, 60, TimeUnit.MINUTES);
    return retention;
  }

  static List<Rule> rules(SqliteReadings store, Duration keepReadings, Duration keepMinutes) {
    List<Rule> rules = new ArrayList<>();
    if (!keepReadings.isZero()) {
      rules.add(new Rule("readings", keepReadings, store::deleteSomeReadings));
    }
    if (!keepMinutes.isZero()) {
      rules.add(new Rule("minutes", keepMinutes, store::deleteSomeMinutes));
    }
    return rules;
  }

  private void hourly() {
    try {
      for (Rule rule : rules) {
        long deleted = trim(rule);
        if (deleted > 0) {
          LOG.info(
              "deleted {} {} of more than {} h ago", deleted, rule.what(), rule.keep().toHours());
        }
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    } catch (RuntimeException e) {
      LOG.warn("old readings were not deleted, trying again in an hour: {}", e.getMessage());
    }
  }

  /** Deletes all that is too old; ends early when closing. */
  long trim() throws InterruptedException {
    long deleted = 0;
    for (Rule rule : rules) {
      deleted += trim(rule);
    }
    return deleted;
  }

  private long trim(Rule rule) throws InterruptedException {
    Instant before = clock.instant().minus(rule.keep());
    long deleted = 0;
    for (Series series : store.series()) {
      int bite;
      do {
        bite = rule.bite().take(series, before, AT_ONCE);
        deleted += bite;
        if (bite > 0 && closing.await(REST_MS, TimeUnit.MILLISECONDS)) {
          return deleted;
        }
      } while (bite >= AT_ONCE);
    }
    return deleted;
  }

  /** Stops after the bite in hand. */
  @Override
  public void close() {
    closing.countDown();
    thread.shutdown();
    try {
      if (!thread.awaitTermination(FINISH_TIMEOUT_MS, TimeUnit.MILLISECONDS)) {
        LOG.warn("the disk does not finish deleting old readings; ending without it");
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
