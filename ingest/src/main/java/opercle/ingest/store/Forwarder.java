// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Sends what waits in a spool to InfluxDB, the oldest minutes first, for as long as it takes. What
 * was on its way when the process died is sent again, and is the same points.
 *
 * <p>While InfluxDB is away it tries again, later each time, up to half a minute. What InfluxDB
 * looks at and will not have is halved until the minute at fault stands alone; it is given up only
 * when InfluxDB has taken another beside it, as where it refuses everything the fault is not the
 * points'.
 *
 * <p>Threads: one of its own, {@code influx-forwarder}.
 */
final class Forwarder implements AutoCloseable {

  private static final Logger LOG = LoggerFactory.getLogger(Forwarder.class);

  static final int READINGS_AT_ONCE = 5_000;

  private static final long IDLE_MS = 500;
  private static final long FIRST_RETRY_MS = 1_000;
  private static final long LONGEST_RETRY_MS = 30_000;
  private static final long FINISH_TIMEOUT_MS = 5_000;

  /** Where points go. */
  interface Target {
    /** InfluxDB has all of it when this returns. */
    void write(List<Unsent> items) throws InfluxTrouble;
  }

  /**
   * Why nothing goes out.
   *
   * @param since by the wall clock
   * @param why in words
   */
  record Away(Instant since, String why) {}

  private final SqliteSpool spool;
  private final Target target;
  private final InstantSource clock;
  private final CountDownLatch closing = new CountDownLatch(1);
  private final Thread thread;
  private volatile Optional<Away> away = Optional.empty();
  private long retryMs = FIRST_RETRY_MS;

  private Forwarder(SqliteSpool spool, Target target, InstantSource clock) {
    this.spool = spool;
    this.target = target;
    this.clock = clock;
    this.thread = new Thread(this::run, "influx-forwarder");
    thread.setDaemon(true);
  }

  static Forwarder start(SqliteSpool spool, Target target, InstantSource clock) {
    Forwarder forwarder = new Forwarder(spool, target, clock);
    forwarder.thread.start();
    return forwarder;
  }

  /** One that does nothing by itself: {@link #forward} is called by one thread. */
  static Forwarder notStarted(SqliteSpool spool, Target target, InstantSource clock) {
    return new Forwarder(spool, target, clock);
  }

  /** Why nothing goes out at present; empty if all is well. */
  Optional<Away> away() {
    return away;
  }

  private void run() {
    try {
      boolean isClosing = false;
      while (!isClosing) {
        isClosing = closing.await(waitMs(), TimeUnit.MILLISECONDS);
      }
    } catch (InterruptedException e) {
      // Closing did not want to wait any longer; what was on its way is sent again.
    }
  }

  /** Sends what waits, and says how long to wait before the next look. */
  private long waitMs() {
    try {
      boolean more = forward();
      retryMs = FIRST_RETRY_MS;
      return more ? 0 : IDLE_MS;
    } catch (InfluxTrouble e) {
      return retry(String.valueOf(e.getMessage()), e.retryAfter());
    } catch (RuntimeException e) {
      LOG.debug("forwarding stumbled", e);
      return retry(String.valueOf(e.getMessage()), Optional.empty());
    }
  }

  private long retry(String why, Optional<Duration> asked) {
    if (away.isEmpty()) {
      LOG.warn("readings wait on this machine's disk, as InfluxDB does not take them: {}", why);
    }
    away = Optional.of(new Away(away.map(Away::since).orElseGet(clock::instant), why));
    long wait = asked.map(Duration::toMillis).orElse(retryMs);
    retryMs = Math.min(LONGEST_RETRY_MS, 2 * retryMs);
    return wait;
  }

  /**
   * Sends one helping.
   *
   * @return whether there is more at once
   * @throws InfluxTrouble if InfluxDB takes nothing
   */
  boolean forward() throws InfluxTrouble {
    List<Unsent> items = spool.oldest(READINGS_AT_ONCE);
    if (items.isEmpty()) {
      return false;
    }
    List<Unsent> taken = new ArrayList<>();
    List<Refused> refused = new ArrayList<>();
    try {
      send(items, taken, refused);
    } finally {
      spool.sent(taken);
    }
    if (!refused.isEmpty()) {
      giveUp(refused, taken.isEmpty());
    }
    away.ifPresent(
        a -> LOG.info("InfluxDB takes readings again; what waited since {} follows", a.since()));
    away = Optional.empty();
    return items.stream().mapToInt(i -> 1 + i.readings().size()).sum() >= READINGS_AT_ONCE;
  }

  private record Refused(Unsent item, InfluxTrouble why) {}

  private void send(List<Unsent> items, List<Unsent> taken, List<Refused> refused)
      throws InfluxTrouble {
    try {
      target.write(items);
      taken.addAll(items);
    } catch (InfluxTrouble e) {
      if (e.kind() == InfluxTrouble.Kind.AWAY) {
        throw e;
      }
      if (items.size() == 1) {
        refused.add(new Refused(items.get(0), e));
      } else {
        int half = items.size() / 2;
        send(items.subList(0, half), taken, refused);
        send(items.subList(half, items.size()), taken, refused);
      }
    }
  }

  private void giveUp(List<Refused> refused, boolean allWere) throws InfluxTrouble {
    InfluxTrouble why = refused.get(0).why();
    if (allWere) {
      List<Unsent> newest = spool.newest();
      if (refused.stream().anyMatch(r -> newest.stream().anyMatch(n -> isSame(n, r.item())))) {
        throw why; // there is nothing else to try it with
      }
      target.write(newest);
      spool.sent(newest);
    }
    spool.refused(refused.stream().map(Refused::item).toList());
    LOG.warn(
        "InfluxDB will never take {} minutes of readings, which are given up; the first: {} {} {} at {}: {}",
        refused.size(),
        refused.get(0).item().series().tank(),
        refused.get(0).item().series().quantity().id(),
        refused.get(0).item().series().probe(),
        refused.get(0).item().start(),
        why.getMessage());
  }

  private static boolean isSame(Unsent a, Unsent b) {
    return a.id() == b.id() && a.minute() == b.minute();
  }

  /** Stops after the helping in hand; the rest is sent by the next one. */
  @Override
  public void close() {
    closing.countDown();
    try {
      thread.join(FINISH_TIMEOUT_MS);
      thread.interrupt();
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
