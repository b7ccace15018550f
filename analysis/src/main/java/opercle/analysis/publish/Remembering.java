// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.publish;

import java.io.IOException;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicBoolean;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.memory.WatchMemory;
import opercle.analysis.watch.FarmWatch;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Saves a watch's memory in time: its alarms before anybody is told of them, what it has learned
 * once a minute. A disk that fails is told once and shown as trouble; the watch and its alarms go
 * on without it.
 *
 * <p>Threads: whoever calls holds the watch. {@link #beforeTelling} waits for the disk; all else is
 * copied at once and written by one thread of our own, {@code watch-memory}.
 */
final class Remembering implements AutoCloseable {

  private static final Logger log = LoggerFactory.getLogger(WatchService.class);
  private static final Duration LEARNED_EVERY = Duration.ofMinutes(1);
  private static final long FINISH_TIMEOUT_MS = 10_000;

  /** Past so many events that nobody takes, the oldest are not kept for after a restart. */
  private static final int MOST_UNTOLD = 1_000;

  private final WatchMemory memory;
  private final List<WatchListener> listeners;
  private final AtomicBoolean learningIsSaved = new AtomicBoolean(true);
  private final ExecutorService thread =
      Executors.newSingleThreadExecutor(
          task -> {
            Thread t = new Thread(task, "watch-memory");
            t.setDaemon(true);
            return t;
          });
  private Instant learnedAt;
  private List<AlarmEvent> untold = List.of();
  private long number;
  private volatile Optional<String> trouble = Optional.empty();

  Remembering(WatchMemory memory, Instant start, List<WatchListener> listeners) {
    this.memory = memory;
    this.learnedAt = start;
    this.listeners = listeners;
  }

  /**
   * Saves the alarms as they are, with the events that are about to be told; on the disk when this
   * returns, or in trouble.
   */
  void beforeTelling(Instant now, FarmWatch watch, List<AlarmEvent> events) {
    WatchMemory.Alarms alarms = alarms(watch, events);
    long mine = ++number;
    save(() -> memory.saveAlarms(now, mine, alarms));
  }

  /** Saves what was learned as it is now; on the disk when this returns, or in trouble. */
  void beforeAnswering(Instant now, FarmWatch watch) {
    FarmWatch.Snapshot learned = watch.snapshot();
    save(() -> memory.saveLearned(now, learned));
  }

  /** A second has passed. */
  void second(Instant now, FarmWatch watch) {
    if (!pending(List.of()).equals(untold)) {
      WatchMemory.Alarms alarms = alarms(watch, List.of());
      long mine = ++number;
      thread.execute(() -> save(() -> memory.saveAlarms(now, mine, alarms)));
    }
    boolean due = Duration.between(learnedAt, now).abs().compareTo(LEARNED_EVERY) >= 0;
    if (due && learningIsSaved.compareAndSet(true, false)) {
      learnedAt = now;
      FarmWatch.Snapshot learned = watch.snapshot();
      thread.execute(
          () -> {
            save(() -> memory.saveLearned(now, learned));
            learningIsSaved.set(true);
          });
    }
  }

  /** Why nothing can be saved at present, in words; empty if all is well. */
  Optional<String> trouble() {
    return trouble;
  }

  /** Saves everything once more, and ends the thread. */
  void finish(Instant now, FarmWatch watch) {
    close();
    FarmWatch.Snapshot learned = watch.snapshot();
    WatchMemory.Alarms alarms = alarms(watch, List.of());
    long mine = ++number;
    save(() -> memory.saveLearned(now, learned));
    save(() -> memory.saveAlarms(now, mine, alarms));
  }

  @Override
  public void close() {
    thread.shutdown();
    try {
      if (!thread.awaitTermination(FINISH_TIMEOUT_MS, TimeUnit.MILLISECONDS)) {
        log.warn("the disk does not finish saving the watch's memory; ending without it");
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  /** What of the memory could not be read at the start. */
  List<WatchMemory.Damage> damages() {
    return memory.damages();
  }

  private WatchMemory.Alarms alarms(FarmWatch watch, List<AlarmEvent> events) {
    untold = pending(events);
    return new WatchMemory.Alarms(watch.alarms(), untold);
  }

  /** What listeners have not handed on yet, and then the newest. */
  private List<AlarmEvent> pending(List<AlarmEvent> newest) {
    Set<AlarmEvent> all = new LinkedHashSet<>();
    for (WatchListener listener : listeners) {
      all.addAll(listener.pending());
    }
    all.addAll(newest);
    List<AlarmEvent> events = new ArrayList<>(all);
    return events.subList(Math.max(0, events.size() - MOST_UNTOLD), events.size());
  }

  private interface Saving {
    void run() throws IOException;
  }

  private void save(Saving saving) {
    try {
      saving.run();
      if (trouble.isPresent()) {
        trouble = Optional.empty();
        log.info("the watch's memory is saved again");
      }
    } catch (IOException | RuntimeException e) {
      if (trouble.isEmpty()) {
        log.error(
            "the watch's memory cannot be saved: {}. It goes on watching; a restart would forget",
            e.toString());
      }
      trouble =
          Optional.of(
              "a restart would forget: the watch's memory cannot be saved: " + e.getMessage());
    }
  }
}
