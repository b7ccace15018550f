// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import static java.nio.charset.StandardCharsets.UTF_8;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.InstantSource;
import java.util.BitSet;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import org.awaitility.Awaitility;
import org.awaitility.core.ConditionTimeoutException;

/**
 * Not a test: kills the embedded broker again and again at random moments, while messages come in
 * at QoS 1 and their only subscriber is away half of the time, so that they pile up. Looks
 * afterwards whether each that was acknowledged to its publisher came to the subscriber.
 *
 * <p>Arguments: kills, 100 without; messages a second, 4,000 without; how many bytes may wait
 * before publishers have to, 1 MB without, so that they do at every other kill; seed.
 */
final class BrokerKillsMain {

  private static final Duration PATIENCE = Duration.ofMinutes(3);

  private final Random random;
  private final BitSet acknowledged = new BitSet();
  private final BitSet received = new BitSet();
  private final AtomicInteger sent = new AtomicInteger();

  private BrokerKillsMain(long seed) {
    random = new Random(seed);
  }

  public static void main(String[] args) throws Exception {
    int kills = args.length > 0 ? Integer.parseInt(args[0]) : 100;
    int perSecond = args.length > 1 ? Integer.parseInt(args[1]) : 4000;
    long bytes = args.length > 2 ? Long.parseLong(args[2]) : 1L << 20;
    long seed = args.length > 3 ? Long.parseLong(args[3]) : 1L;
    new BrokerKillsMain(seed).run(kills, perSecond, bytes);
  }

  private void run(int kills, int perSecond, long bytes) throws Exception {
    Path folder = Files.createTempDirectory("opercle-broker-kills");
    try (EmbeddedBrokerProcess broker = EmbeddedBrokerProcess.start(folder, bytes)) {
      subscriber(broker).close();
      for (int kill = 1; kill <= kills; kill++) {
        if (kill % 2 == 0) {
          try (MqttLink there = subscriber(broker)) {
            publishUntilKilled(broker, perSecond);
            System.out.printf("%d: %s%n", kill, there.state());
          }
        } else {
          publishUntilKilled(broker, perSecond);
        }
        broker.restart();
        if (kill % 10 == 0) {
          System.out.printf("%d kills, %d messages sent%n", kill, sent.get());
        }
      }
      try (MqttLink there = subscriber(broker)) {
        int missing = missingOnceAllHasCome();
        System.out.printf(
            Locale.ROOT,
            "%d kills -9, %d messages sent, %d acknowledged to their publisher; of these %d never"
                + " came%n",
            kills,
            sent.get(),
            acknowledged.cardinality(),
            missing);
        if (missing > 0 || !there.state().connected()) {
          throw new AssertionError("lost messages: " + missing);
        }
      }
    }
  }

  private void publishUntilKilled(EmbeddedBrokerProcess broker, int perSecond)
      throws InterruptedException {
    Thread publishing;
    try (MqttLink probes = MqttLink.open(MqttSettings.of(broker.uri(), "probes"))) {
      Awaitility.await("probes").atMost(PATIENCE).until(() -> probes.state().connected());
      CountDownLatch enough = new CountDownLatch(1);
      publishing = new Thread(() -> publish(probes, perSecond, enough), "publishing");
      publishing.start();
      var unused = enough.await(1000 + random.nextInt(2000), TimeUnit.MILLISECONDS);
      broker.kill();
      enough.countDown();
    } // what was not acknowledged is given up
    publishing.join();
  }

  /** With a session that outlasts it; returns when it is connected. */
  private MqttLink subscriber(EmbeddedBrokerProcess broker) {
    MqttLink link =
        MqttLink.subscribe(
            MqttSettings.of(broker.uri(), EmbeddedBrokerProcess.KEPT_WHOLE),
            List.of("tanks/#"),
            List.of(),
            new MqttLink.Inbox(1, true, SensorSubscriber.RECEIVE_MAXIMUM, this::take),
            InstantSource.system());
    Awaitility.await("subscriber").atMost(PATIENCE).until(() -> link.state().connected());
    return link;
  }

  private void take(Delivery delivery) {
    synchronized (received) {
      received.set(Integer.parseInt(new String(delivery.payload(), UTF_8)));
    }
    delivery.acknowledge();
  }

  private void publish(MqttLink probes, int perSecond, CountDownLatch enough) {
    try {
      long begun = System.nanoTime();
      int first = sent.get();
      while (enough.getCount() > 0) {
        long due = (System.nanoTime() - begun) * perSecond / 1_000_000_000L;
        while (sent.get() - first < due && enough.getCount() > 0) {
          send(probes, sent.getAndIncrement());
        }
        var unused = enough.await(5, TimeUnit.MILLISECONDS);
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  private void send(MqttLink probes, int number) throws InterruptedException {
    var unused =
        probes
            .publish(
                "tanks/h" + number % 10 + "/oxygen",
                String.valueOf(number).getBytes(UTF_8),
                1,
                false)
            .whenComplete(
                (nothing, failure) -> {
                  if (failure == null) {
                    synchronized (acknowledged) {
                      acknowledged.set(number);
                    }
                  }
                });
  }

  private int missingOnceAllHasCome() {
    try {
      Awaitility.await("all messages")
          .atMost(PATIENCE)
          .pollInterval(Duration.ofSeconds(1))
          .until(() -> missing() == 0);
    } catch (ConditionTimeoutException e) {
      System.out.println(e.getMessage());
    }
    return missing();
  }

  private int missing() {
    BitSet missing = new BitSet();
    synchronized (acknowledged) {
      missing.or(acknowledged);
    }
    synchronized (received) {
      missing.andNot(received);
    }
    return missing.cardinality();
  }
}
