// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static java.nio.charset.StandardCharsets.UTF_8;

import java.net.URI;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.BitSet;
import java.util.Locale;
import java.util.concurrent.Executors;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import opercle.ingest.mqtt.MqttLink;
import opercle.ingest.mqtt.MqttSettings;

/**
 * Probes of twelve tanks as a good gateway has them: one reading a second each, with its time, at
 * QoS 1; what the broker does not take is kept and sent when it does. Counts what was acknowledged.
 */
final class SteadyProbes implements AutoCloseable {

  static final int TANKS = 12;

  private final MqttLink link;
  private final Instant start;
  private final LinkedBlockingQueue<Integer> kept = new LinkedBlockingQueue<>();
  private final BitSet acknowledged = new BitSet();
  private final AtomicInteger made = new AtomicInteger();
  private final AtomicInteger answered = new AtomicInteger();
  private final ScheduledExecutorService pace = Executors.newSingleThreadScheduledExecutor();
  private final Thread sending = new Thread(this::send, "probes-sending");

  SteadyProbes(URI broker) {
    link = MqttLink.open(MqttSettings.of(broker, "probes"));
    sending.setDaemon(true);
    sending.start();
    // Only now, or every reading were older by as long as a busy machine took to connect.
    start = Instant.now().truncatedTo(ChronoUnit.SECONDS);
    var unused = pace.scheduleAtFixedRate(this::measure, 0, 1, TimeUnit.SECONDS);
  }

  private void measure() {
    for (int tank = 0; tank < TANKS; tank++) {
      kept.add(made.getAndIncrement());
    }
  }

  private void send() {
    try {
      while (true) {
        int number = kept.take();
        var unused =
            link.publish("tanks/h" + number % TANKS + "/oxygen", pack(number), 1, false)
                .whenComplete((nothing, failure) -> note(number, failure == null));
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  private byte[] pack(int number) {
    // A little unrest, or the probe would be taken for stuck.
    double oxygen = 8.9 + 0.05 * Math.sin(number * 0.7);
    return String.format(
            Locale.ROOT,
            "[{\"bt\":%d,\"u\":\"mg/l\",\"v\":%.3f}]",
            timeOf(number).getEpochSecond(),
            oxygen)
        .getBytes(UTF_8);
  }

  private void note(int number, boolean taken) {
    synchronized (acknowledged) {
      if (taken) {
        acknowledged.set(number);
      }
    }
    answered.incrementAndGet();
  }

  /** A reading's time says which it is. */
  Instant timeOf(int number) {
    return start.plusSeconds(number / TANKS);
  }

  int numberOf(int tank, long epochMilli) {
    return (int) ((epochMilli - start.toEpochMilli()) / 1000) * TANKS + tank;
  }

  int made() {
    return made.get();
  }

  /** How many were made and have no answer of the broker yet. */
  int waiting() {
    return made.get() - answered.get();
  }

  int acknowledged() {
    synchronized (acknowledged) {
      return acknowledged.cardinality();
    }
  }

  BitSet acknowledgedNumbers() {
    synchronized (acknowledged) {
      return (BitSet) acknowledged.clone();
    }
  }

  /** Measures no more; what is kept still goes out. */
  void stop() {
    pace.shutdownNow();
  }

  @Override
  public void close() {
    pace.shutdownNow();
    sending.interrupt();
    link.close();
  }
}
