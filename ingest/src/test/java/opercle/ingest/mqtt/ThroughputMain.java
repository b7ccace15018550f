// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import static java.nio.charset.StandardCharsets.UTF_8;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.LongSupplier;
import opercle.ingest.payload.PayloadDecoder;
import opercle.ingest.store.SqliteReadings;
import org.eclipse.paho.mqttv5.client.IMqttToken;
import org.eclipse.paho.mqttv5.client.MqttAsyncClient;
import org.eclipse.paho.mqttv5.client.MqttCallback;
import org.eclipse.paho.mqttv5.client.MqttDisconnectResponse;
import org.eclipse.paho.mqttv5.client.persist.MemoryPersistence;
import org.eclipse.paho.mqttv5.common.MqttException;
import org.eclipse.paho.mqttv5.common.MqttMessage;
import org.eclipse.paho.mqttv5.common.packet.MqttProperties;

/**
 * Not a test: how many QoS 1 messages of one reading each go a second from a local Mosquitto into
 * SQLite, against a bare client that only counts them. Both by turns in one run, as the first runs
 * warm the JVM; publisher, subscriber and Mosquitto share the machine. First argument: messages a
 * round, 50,000 without.
 */
final class ThroughputMain {

  private static final int ROUNDS = 4;
  private static final int TANKS = 50;
  private static final long TIMEOUT_NANOS = TimeUnit.MINUTES.toNanos(2);

  private ThroughputMain() {}

  public static void main(String[] args) throws Exception {
    int count = args.length > 0 ? Integer.parseInt(args[0]) : 50_000;
    Path folder = Files.createTempDirectory("opercle-throughput");
    try (LocalMosquitto broker = LocalMosquitto.start(folder)) {
      for (int round = 1; round <= ROUNDS; round++) {
        double bare = bareCounter(broker, count);
        double stored = subscriberAndStore(broker, count, folder.resolve(round + ".db"), round);
        System.out.printf(
            "round %d: bare counter %.0f, into SQLite %.0f messages/s, ratio %.2f%n",
            round, bare, stored, stored / bare);
      }
    }
  }

  private static double bareCounter(TestBroker broker, int count) throws Exception {
    AtomicLong arrived = new AtomicLong();
    MqttAsyncClient client =
        new MqttAsyncClient(broker.uri().toString(), "bare", new MemoryPersistence());
    client.setCallback(new Counter(arrived));
    client.connect().waitForCompletion();
    client.subscribe("tanks/#", 1).waitForCompletion();
    try {
      return rate(broker, count, arrived::get);
    } finally {
      client.disconnect().waitForCompletion();
      client.close();
    }
  }

  private static double subscriberAndStore(TestBroker broker, int count, Path file, int round)
      throws Exception {
    MqttSettings settings = MqttSettings.of(broker.uri(), "ingest" + round);
    PayloadDecoder decoder = new PayloadDecoder(tank -> true, List.of());
    try (SqliteReadings store = SqliteReadings.open(file);
        SensorSubscriber subscriber =
            SensorSubscriber.builder(settings, decoder)
                .arrivals(store.arrivals(SensorSubscriber.RECEIVE_MAXIMUM))
                .sink(store)
                .start()) {
      while (!subscriber.linkState().connected()) {
        Thread.onSpinWait();
      }
      double rate = rate(broker, count, subscriber::messages);
      long stored =
          store.series().stream()
              .mapToLong(s -> store.range(s, Instant.EPOCH, Instant.now().plusSeconds(3600)).size())
              .sum();
      if (stored != count) {
        throw new AssertionError("stored " + stored + " of " + count);
      }
      return rate;
    }
  }

  /** Messages a second from the first publish to the last arrival. */
  private static double rate(TestBroker broker, int count, LongSupplier arrived) throws Exception {
    try (MqttLink probe = MqttLink.open(MqttSettings.of(broker.uri(), "probe"))) {
      long start = System.nanoTime();
      for (int i = 0; i < count; i++) {
        byte[] value = (8 + i % 100 / 100.0 + "").getBytes(UTF_8);
        var unused = probe.publish("tanks/h" + i % TANKS + "/oxygen", value, 1, false);
      }
      while (arrived.getAsLong() < count) {
        if (System.nanoTime() - start > TIMEOUT_NANOS) {
          throw new AssertionError("only " + arrived.getAsLong() + " of " + count + " arrived");
        }
        var unused = new CountDownLatch(1).await(1, TimeUnit.MILLISECONDS);
      }
      return count / ((System.nanoTime() - start) / 1e9);
    }
  }

  private record Counter(AtomicLong arrived) implements MqttCallback {
    @Override
    public void messageArrived(String topic, MqttMessage message) {
      arrived.incrementAndGet();
    }

    @Override
    public void disconnected(MqttDisconnectResponse response) {}

    @Override
    public void mqttErrorOccurred(MqttException exception) {}

    @Override
    public void deliveryComplete(IMqttToken token) {}

    @Override
    public void connectComplete(boolean reconnect, String serverUri) {}

    @Override
    public void authPacketArrived(int reasonCode, MqttProperties properties) {}
  }
}
