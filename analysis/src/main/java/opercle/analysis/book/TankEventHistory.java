// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import java.time.Duration;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.publish.WatchListener;
import opercle.analysis.watch.TankEvent;
import opercle.analysis.watch.TankState;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Writes what people note at tanks to the farm book. While the book cannot be written the events
 * wait, and {@link #trouble} says so; past 1,000 waiting ones the newest are let go, with a line in
 * the log.
 *
 * <p>Threads: told while the watch is held, it only queues; one thread of its own, {@code
 * event-history}, waits for the disk.
 */
public final class TankEventHistory implements WatchListener, AutoCloseable {

  private static final Logger log = LoggerFactory.getLogger(TankEventHistory.class);

  private static final int MOST_WAITING = 1_000;
  private static final Duration TRY_AGAIN_AFTER = Duration.ofSeconds(1);
  private static final Duration FINISH_WITHIN = Duration.ofSeconds(10);

  private final Consumer<List<TankEvent>> keeping;
  private final Duration tryAgainAfter;
  private final Thread writer;
  private final Deque<TankEvent> waiting = new ArrayDeque<>(); // guarded by itself
  private boolean closing; // guarded by waiting
  private volatile Optional<String> trouble = Optional.empty();

  /** Starts writing to a book that is open for writing. */
  public TankEventHistory(FarmBook book, String farm) {
    this(new TankEventRecords(book, farm)::keep, TRY_AGAIN_AFTER);
  }

  TankEventHistory(Consumer<List<TankEvent>> keeping, Duration tryAgainAfter) {
    this.keeping = keeping;
    this.tryAgainAfter = tryAgainAfter;
    this.writer = new Thread(this::write, "event-history");
    writer.setDaemon(true);
    writer.start();
  }

  @Override
  public void events(List<AlarmEvent> events) {
    // alarms have a history of their own
  }

  @Override
  public void states(List<TankState> states) {
    // not kept
  }

  @Override
  public void noted(TankEvent event) {
    synchronized (waiting) {
      if (waiting.size() >= MOST_WAITING) {
        log.error("{}: {} was not kept; too much waits already", event.tank(), event.kind().id());
        return;
      }
      waiting.add(event);
      waiting.notifyAll();
    }
  }

  @Override
  public Optional<String> trouble() {
    return trouble;
  }

  private void write() {
    List<TankEvent> next = List.of();
    try {
      while (true) {
        next = next.isEmpty() ? take() : next;
        if (next.isEmpty()) {
          return; // closing, and all is written
        }
        try {
          keeping.accept(next);
          next = List.of();
          trouble = Optional.empty();
        } catch (RuntimeException e) {
          trouble = Optional.of("what is done at tanks cannot be kept: " + e.getMessage());
          pause();
        }
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  private List<TankEvent> take() throws InterruptedException {
    synchronized (waiting) {
      while (waiting.isEmpty() && !closing) {
        waiting.wait();
      }
      List<TankEvent> next = new ArrayList<>(waiting);
      waiting.clear();
      return next;
    }
  }

  private void pause() throws InterruptedException {
    synchronized (waiting) {
      waiting.wait(tryAgainAfter.toMillis());
    }
  }

  /** Writes what waits, for at most ten seconds, and ends. */
  @Override
  public void close() {
    synchronized (waiting) {
      closing = true;
      waiting.notifyAll();
    }
    try {
      writer.join(FINISH_WITHIN.toMillis());
      if (writer.isAlive()) {
        writer.interrupt();
        log.error(
            "what was done at tanks was not all kept: {}", trouble.orElse("no time was left"));
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
