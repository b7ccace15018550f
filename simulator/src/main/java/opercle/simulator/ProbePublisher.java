// SPDX-License-Identifier: Apache-2.0
package opercle.simulator;

import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.List;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import opercle.ingest.reading.Reading;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Runs a simulated farm against a clock and publishes what its probes say.
 *
 * <p>Threads: {@link #start} makes one daemon thread, {@value #THREAD_NAME}, which alone touches
 * the farm and calls the publish function; {@link #close} ends it and waits for it. Without it,
 * {@link #tick} may be called by one thread at a time.
 *
 * <p>After a stall the physics catches up at once and what was measured meanwhile goes out in
 * packs; of what lies further back than {@link #BACKLOG} of the clock it says nothing, so that a
 * long sleep does not end in a flood.
 */
public final class ProbePublisher implements AutoCloseable {

  /** The name of the thread. */
  public static final String THREAD_NAME = "simulated-probes";

  /** Readings older than this, by the publisher's clock, are not sent any more. */
  static final Duration BACKLOG = Duration.ofMinutes(10);

  /** A tick that covers more than this sends packs in place of single readings. */
  private static final Duration STALL = Duration.ofSeconds(5);

  private static final Duration BETWEEN_TICKS = Duration.ofMillis(200);
  private static final Logger log = LoggerFactory.getLogger(ProbePublisher.class);

  /** Sends one MQTT message. May throw; the message is then lost and the next one is tried. */
  @FunctionalInterface
  public interface Publish {
    /** Sends a message. */
    void publish(String topic, byte[] payload);
  }

  /** How farm time follows the clock, and what readings are stamped with. */
  private record Pace(Instant clockStart, Instant farmStart, double speed) {
    Instant farmTime(Instant clockTime) {
      double ms = Duration.between(clockStart, clockTime).toMillis() * speed;
      return farmStart.plusMillis((long) ms);
    }

    Reading stamped(Reading r) {
      if (speed == 1.0 && clockStart.equals(farmStart)) {
        return r;
      }
      double ms = Duration.between(farmStart, r.time()).toMillis() / speed;
      Instant time = clockStart.plusMillis((long) ms);
      return new Reading(r.tank(), r.quantity(), r.probe(), time, r.value());
    }
  }

  private final SimulatedFarm farm;
  private final InstantSource clock;
  private final Publish publish;
  private Pace pace;
  private final CountDownLatch closing = new CountDownLatch(1);
  private @Nullable Thread thread;
  private Instant lastTick;
  private final AtomicLong published = new AtomicLong();
  private final AtomicLong skipped = new AtomicLong();
  private boolean failing;

  private ProbePublisher(SimulatedFarm farm, InstantSource clock, Pace pace, Publish publish) {
    this.farm = farm;
    this.clock = clock;
    this.pace = pace;
    this.publish = publish;
    lastTick = clock.instant();
  }

  /**
   * Follows a clock that shows simulated time, and stamps readings with it: for a receiver that
   * shares the clock. The clock may run faster than the world's.
   */
  public static ProbePublisher followingClock(
      SimulatedFarm farm, InstantSource clock, Publish publish) {
    return new ProbePublisher(farm, clock, new Pace(farm.now(), farm.now(), 1.0), publish);
  }

  /**
   * Lets the farm live {@code speed} times as fast as the clock, and stamps readings with the
   * clock's time: for a receiver in the real world.
   *
   * @param speed above 0
   */
  public static ProbePublisher atSpeed(
      SimulatedFarm farm, InstantSource clock, double speed, Publish publish) {
    if (!(speed > 0.0 && speed <= 10_000.0)) {
      throw new IllegalArgumentException(
          "speed must be above 0 and at most 10000 but was " + speed);
    }
    return new ProbePublisher(farm, clock, new Pace(clock.instant(), farm.now(), speed), publish);
  }

  /** Starts the thread; once. */
  public synchronized void start() {
    if (thread != null) {
      throw new IllegalStateException("the probe publisher has been started already");
    }
    Thread fresh = new Thread(this::run, THREAD_NAME);
    fresh.setDaemon(true);
    thread = fresh;
    fresh.start();
  }

  private void run() {
    try {
      while (!closing.await(BETWEEN_TICKS.toMillis(), TimeUnit.MILLISECONDS)) {
        tick();
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt(); // somebody wants us gone, as close() does
    } catch (RuntimeException e) {
      log.error("The simulated probes have stopped: {}", e.getMessage(), e);
    }
  }

  /** Brings the farm up to the clock and publishes what came in; returns the messages sent. */
  public int tick() {
    Instant now = clock.instant();
    Duration passed = Duration.between(lastTick, now);
    if (passed.isNegative()) {
      clockWasPutBack(now, passed.negated());
      return 0;
    }
    lastTick = now;
    Instant notBefore = pace.farmTime(now.minus(BACKLOG));
    if (notBefore.isAfter(farm.now())) {
      skipped.addAndGet(farm.advance(notBefore).size());
    }
    List<Reading> readings = farm.advance(pace.farmTime(now)).stream().map(pace::stamped).toList();
    List<ProbeMessages.Message> messages =
        passed.compareTo(STALL) > 0
            ? ProbeMessages.of(readings)
            : readings.stream().map(ProbeMessages::of).toList();
    if (!messages.isEmpty()) {
      send(messages);
    }
    return messages.size();
  }

  /** Waits out a small step back; after a large one the farm goes on from the new time. */
  private void clockWasPutBack(Instant now, Duration by) {
    if (by.compareTo(STALL) > 0) {
      log.warn(
          "The clock was put back by {} s; simulated readings go on from {}.", by.toSeconds(), now);
      pace = new Pace(now, farm.now(), pace.speed());
      lastTick = now;
    }
  }

  /** A failure is told once, and its end once, not for each message. */
  private void send(List<ProbeMessages.Message> messages) {
    @Nullable RuntimeException failure = null;
    for (ProbeMessages.Message message : messages) {
      try {
        publish.publish(message.topic(), message.payload());
        published.incrementAndGet();
      } catch (RuntimeException e) {
        failure = e;
      }
    }
    if (failure != null && !failing) {
      log.warn("Simulated readings could not be published: {}", failure.getMessage());
    } else if (failure == null && failing) {
      log.info("Simulated readings are being published again.");
    }
    failing = failure != null;
  }

  /** Messages published so far. */
  public long published() {
    return published.get();
  }

  /** Readings that were too old to send after a stall. */
  public long skipped() {
    return skipped.get();
  }

  /** Ends the thread and waits for it, at most ten seconds. */
  @Override
  public void close() {
    closing.countDown();
    @Nullable Thread running;
    synchronized (this) {
      running = thread;
    }
    if (running == null || running == Thread.currentThread()) {
      return;
    }
    try {
      running.join(10_000L);
      if (running.isAlive()) {
        log.warn("The simulated probes did not stop within 10 s; the publish function hangs.");
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
