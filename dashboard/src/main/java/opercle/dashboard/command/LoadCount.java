// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.io.PrintWriter;
import java.time.Duration;
import java.util.Locale;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.Executors;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import java.util.concurrent.atomic.AtomicLong;
import opercle.ingest.mqtt.MqttLink;
import org.jspecify.annotations.Nullable;

/**
 * Sends messages at QoS 1 as fast as the broker acknowledges them, and counts both. For any thread;
 * {@link #publish} for one at a time.
 */
final class LoadCount {

  private final MqttLink link;
  private final long begun = System.nanoTime();
  private final AtomicLong sent = new AtomicLong();
  private final AtomicLong acknowledged = new AtomicLong();
  private final AtomicLong failed = new AtomicLong();
  private final AtomicLong lastAcknowledgedNanos = new AtomicLong(begun);
  private volatile CompletableFuture<Long> newest = CompletableFuture.completedFuture(0L);

  LoadCount(MqttLink link) {
    this.link = link;
  }

  /** Sends; waits while the broker owes as many acknowledgements as it may. */
  void publish(String topic, byte[] payload) {
    try {
      CompletableFuture<Void> acknowledgement = link.publish(topic, payload, 1, false);
      sent.incrementAndGet();
      newest = acknowledgement.handle((taken, failure) -> count(failure));
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  /** Counts an answer; returns how many there are now. */
  private long count(@Nullable Throwable failure) {
    if (failure == null) {
      lastAcknowledgedNanos.set(System.nanoTime());
      return acknowledged.incrementAndGet();
    }
    return failed.incrementAndGet();
  }

  /** Tells the count again and again until it is closed. */
  AutoCloseable tellingEvery(Duration time, PrintWriter out) {
    ScheduledExecutorService teller =
        Executors.newSingleThreadScheduledExecutor(
            task -> {
              Thread thread = new Thread(task, "load-count");
              thread.setDaemon(true);
              return thread;
            });
    var unused =
        teller.scheduleAtFixedRate(
            () -> {
              out.println(this);
              out.flush();
            },
            time.toMillis(),
            time.toMillis(),
            TimeUnit.MILLISECONDS);
    return teller::shutdownNow;
  }

  /** Waits for the newest message's acknowledgement; returns whether all that was sent has one. */
  boolean untilAcknowledged(Duration atMost) {
    try {
      var unused = newest.get(atMost.toMillis(), TimeUnit.MILLISECONDS);
    } catch (TimeoutException e) {
      return false;
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      return false;
    } catch (ExecutionException e) {
      throw new IllegalStateException(e); // count() takes every failure
    }
    return failed.get() == 0 && acknowledged.get() == sent.get();
  }

  @Override
  public String toString() {
    double seconds = Math.max(1e-9, (lastAcknowledgedNanos.get() - begun) / 1e9);
    long taken = acknowledged.get();
    return String.format(
        Locale.ROOT,
        "%d readings sent, %d taken by the broker (%.0f/s), %d refused or lost",
        sent.get(),
        taken,
        taken / seconds,
        failed.get());
  }
}
