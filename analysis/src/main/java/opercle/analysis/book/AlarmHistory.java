// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import java.time.Duration;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.Optional;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmGap;
import opercle.analysis.publish.WatchListener;
import opercle.analysis.watch.TankState;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Writes every alarm event to the farm book.
 *
 * <p>An event told twice, as after a restart, is kept once. While the book cannot be written the
 * events wait, and {@link #trouble} says so. Past 10,000 waiting events the newest are let go; a
 * row in the book then says how many are missing between when and when, so that nobody takes the
 * stretch for a quiet one.
 *
 * <p>Threads: told while the watch is held, it only queues; one thread of its own, {@code
 * alarm-history}, waits for the disk. What waits, {@link #pending} knows.
 */
public final class AlarmHistory implements WatchListener, AutoCloseable {

  private static final Logger log = LoggerFactory.getLogger(AlarmHistory.class);

  private static final int MOST_WAITING = 10_000;
  private static final int AT_ONCE = 500;
  private static final Duration TRY_AGAIN_AFTER = Duration.ofSeconds(1);
  private static final Duration FINISH_WITHIN = Duration.ofSeconds(10);

  /** Makes events durable: all of them when it returns, none when it throws. */
  @FunctionalInterface
  interface Keeping {
    void keep(List<AlarmEvent> events, Optional<AlarmGap> missing);
  }

  private final Keeping keeping;
  private final int mostWaiting;
  private final Duration tryAgainAfter;
  private final Duration finishWithin;
  private final Thread writer;

  // Guarded by the queue's own lock.
  private final Deque<AlarmEvent> waiting = new ArrayDeque<>();
  private @Nullable AlarmGap missing;
  private boolean closing;

  private volatile Optional<String> trouble = Optional.empty();

  /**
   * Starts writing.
   *
   * @param book opened for writing
   * @param farm the farm's name
   */
  public AlarmHistory(FarmBook book, String farm) {
    this(into(book, farm), MOST_WAITING, TRY_AGAIN_AFTER, FINISH_WITHIN);
  }

  AlarmHistory(Keeping keeping, int mostWaiting, Duration tryAgainAfter, Duration finishWithin) {
    this.keeping = keeping;
    this.mostWaiting = mostWaiting;
    this.tryAgainAfter = tryAgainAfter;
    this.finishWithin = finishWithin;
    this.writer = new Thread(this::write, "alarm-history");
    writer.setDaemon(true);
    writer.start();
  }

  private static Keeping into(FarmBook book, String farm) {
    if (!book.isWritable()) {
      throw new IllegalArgumentException("the alarm history needs a farm book that it may write");
    }
    return (events, missing) ->
        book.write(
            "take %d alarm events".formatted(events.size()),
            connection -> {
              AlarmTable.add(connection, farm, events);
              if (missing.isPresent()) {
                AlarmTable.add(connection, farm, missing.get());
              }
              return events.size();
            });
  }

  @Override
  public void events(List<AlarmEvent> events) {
    synchronized (waiting) {
      for (AlarmEvent event : events) {
        if (waiting.size() < mostWaiting && !closing) {
          waiting.addLast(event);
        } else {
          missing =
              missing == null
                  ? new AlarmGap(event.time(), event.time(), 1)
                  : missing.and(event.time());
        }
      }
      waiting.notifyAll();
    }
  }

  @Override
  public void states(List<TankState> states) {}

  /** What is not on the disk yet, oldest first. For any thread. */
  @Override
  public List<AlarmEvent> pending() {
    synchronized (waiting) {
      return List.copyOf(waiting);
    }
  }

  @Override
  public Optional<String> trouble() {
    return trouble;
  }

  /** Writes what waits, for at most ten seconds, and ends. Calling it again does nothing. */
  @Override
  public void close() {
    synchronized (waiting) {
      closing = true;
      waiting.notifyAll();
    }
    try {
      writer.join(finishWithin.toMillis());
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
    int left = pending().size();
    if (left > 0) {
      log.error("{} alarm events could not be written to the farm book before the end", left);
    }
    writer.interrupt();
  }

  private void write() {
    try {
      while (awaitWork()) {
        writeSome();
      }
    } catch (InterruptedException e) {
      // Closed while the disk took nothing; close() has said what is left.
    }
  }

  /** Waits for something to write; false once all is written and no more will come. */
  private boolean awaitWork() throws InterruptedException {
    synchronized (waiting) {
      while (waiting.isEmpty() && missing == null) {
        if (closing) {
          return false;
        }
        waiting.wait();
      }
      return true;
    }
  }

  private void writeSome() throws InterruptedException {
    List<AlarmEvent> some;
    Optional<AlarmGap> gap;
    synchronized (waiting) {
      some = new ArrayList<>(waiting).subList(0, Math.min(AT_ONCE, waiting.size()));
      gap = Optional.ofNullable(missing);
      missing = null;
    }
    try {
      keeping.keep(some, gap);
    } catch (RuntimeException e) {
      failed(e, gap);
      return;
    }
    synchronized (waiting) {
      for (int written = 0; written < some.size(); written++) {
        waiting.removeFirst();
      }
    }
    if (trouble.isPresent()) {
      trouble = Optional.empty();
      log.info("the alarm history is written again");
    }
  }

  private void failed(RuntimeException e, Optional<AlarmGap> gap) throws InterruptedException {
    if (trouble.isEmpty()) {
      log.error("the alarm history is not being written; it is tried again", e);
    }
    synchronized (waiting) {
      gap.ifPresent(this::putBack);
      trouble =
          Optional.of(
              "The alarm history is not being written: %s. %d events wait%s"
                  .formatted(
                      e.getMessage(),
                      waiting.size(),
                      missing == null ? "" : ", %d are lost".formatted(missing.events())));
      if (!closing || !waiting.isEmpty()) {
        waiting.wait(tryAgainAfter.toMillis());
      }
    }
  }

  private void putBack(AlarmGap gap) {
    @Nullable AlarmGap since = missing;
    missing =
        since == null
            ? gap
            : new AlarmGap(
                since.first().isBefore(gap.first()) ? since.first() : gap.first(),
                since.last().isAfter(gap.last()) ? since.last() : gap.last(),
                since.events() + gap.events());
  }
}
