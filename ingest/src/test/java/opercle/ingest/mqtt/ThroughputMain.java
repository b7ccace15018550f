// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import static java.nio.charset.StandardCharsets.UTF_8;

import java.io.IOException;
import java.math.BigDecimal;
import java.net.URI;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.PreparedStatement;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.LongSupplier;
import java.util.stream.IntStream;
import opercle.ingest.payload.PayloadDecoder;
import opercle.ingest.reading.ReadingSink;
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
 * Not a test: how many QoS 1 messages go a second from a local Mosquitto into SQLite, and into a
 * second sink where there is one. With one reading each, against a bare client that only counts
 * them; in SenML packs of ten, against a loop that inserts as many rows into the same table, a
 * thousand a transaction, and does nothing else. By turns in one run; the first round warms the JVM
 * and does not count. Publisher, subscriber and Mosquitto share the machine. First argument:
 * messages a round, 50,000 without.
 */
public final class ThroughputMain {

  private static final int ROUNDS = 6;
  private static final int TANKS = 50;
  private static final int PACK = 10;
  private static final long TIMEOUT_NANOS = TimeUnit.MINUTES.toNanos(2);

  private ThroughputMain() {}

  /** What takes each batch after the store. */
  public interface Second extends ReadingSink, AutoCloseable {

    /** Throws an AssertionError unless it has taken in so many, the newest of them too. */
    void check(long readings);

    @Override
    void close();
  }

  /** How to start one, anew for each measurement. */
  @FunctionalInterface
  public interface Seconds {

    /**
     * Starts it.
     *
     * @param folder of its own
     * @param store what takes each batch before it
     */
    Second start(URI broker, Path folder, SqliteReadings store) throws IOException;
  }

  /** The tanks whose readings are sent. */
  public static List<String> tanks() {
    return IntStream.range(0, TANKS).mapToObj(i -> "h" + i).toList();
  }

  /** The store alone. */
  public static void main(String[] args) throws Exception {
    compare(args, "into SQLite", Optional.empty());
  }

  /**
   * Prints each round's rates and ratios, and the medians of the ratios after the first round.
   *
   * @param args messages a round
   * @param where the readings go, in words
   */
  public static void compare(String[] args, String where, Optional<Seconds> second)
      throws Exception {
    int count = args.length > 0 ? Integer.parseInt(args[0]) : 50_000;
    List<Double> ones = new ArrayList<>();
    List<Double> packs = new ArrayList<>();
    Path folder = Files.createTempDirectory("opercle-throughput");
    try (LocalMosquitto broker = LocalMosquitto.start(folder)) {
      for (int round = 1; round <= ROUNDS; round++) {
        String name = round == 1 ? "round 1 (to warm up)" : "round " + round;
        double bare = bareCounter(broker, count);
        double stored = taken(broker, count, 1, folder.resolve("ones" + round), second);
        System.out.printf(
            "%s: bare counter %.0f, %s %.0f messages/s, ratio %.2f%n",
            name, bare, where, stored, stored / bare);
        double rows = rawInserts(PACK * count, folder.resolve("raw" + round + ".db"));
        double packed = PACK * taken(broker, count, PACK, folder.resolve("packs" + round), second);
        System.out.printf(
            "%s: raw insert loop %.0f, packs of ten %s %.0f readings/s, ratio %.2f%n",
            name, rows, where, packed, packed / rows);
        if (round > 1) {
          ones.add(stored / bare);
          packs.add(packed / rows);
        }
      }
    }
    System.out.printf(
        "median ratios of %d rounds: one a message %.2f, packs of ten %.2f%n",
        ones.size(), median(ones), median(packs));
  }

  private static double median(List<Double> ratios) {
    List<Double> sorted = ratios.stream().sorted().toList();
    return sorted.get(sorted.size() / 2);
  }

  private static double bareCounter(TestBroker broker, int count) throws Exception {
    AtomicLong arrived = new AtomicLong();
    MqttAsyncClient client =
        new MqttAsyncClient(broker.uri().toString(), "bare", new MemoryPersistence());
    client.setCallback(new Counter(arrived));
    client.connect().waitForCompletion();
    client.subscribe("tanks/#", 1).waitForCompletion();
    try {
      return rate(broker, count, 1, arrived::get);
    } finally {
      client.disconnect().waitForCompletion();
      client.close();
    }
  }

  private static double rawInserts(int rows, Path file) throws SQLException {
    try (SqliteReadings made = SqliteReadings.open(file)) {
      made.series(); // the same tables
    }
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file);
        Statement pragma = connection.createStatement()) {
      pragma.execute("PRAGMA synchronous = FULL");
      pragma.execute("INSERT INTO series (tank, quantity, probe) VALUES ('h1', 'oxygen', '1')");
      connection.setAutoCommit(false);
      long start = System.nanoTime();
      try (PreparedStatement insert =
          connection.prepareStatement(
              "INSERT INTO reading (series, time, value) VALUES (1, ?, ?)")) {
        for (int i = 1; i <= rows; i++) {
          insert.setLong(1, i);
          insert.setDouble(2, 8 + i % 100 / 100.0);
          insert.executeUpdate();
          if (i % 1000 == 0) {
            connection.commit();
          }
        }
      }
      connection.commit();
      return rows / ((System.nanoTime() - start) / 1e9);
    }
  }

  /** Messages a second, of so many readings each. */
  private static double taken(
      TestBroker broker, int count, int pack, Path folder, Optional<Seconds> seconds)
      throws Exception {
    Files.createDirectories(folder);
    MqttSettings settings = MqttSettings.of(broker.uri(), "ingest-" + folder.getFileName());
    PayloadDecoder decoder = new PayloadDecoder(tank -> true, List.of());
    try (SqliteReadings store = SqliteReadings.open(folder.resolve("readings.db"))) {
      SensorSubscriber.Builder builder =
          SensorSubscriber.builder(settings, decoder)
              .arrivals(store.arrivals(SensorSubscriber.RECEIVE_MAXIMUM))
              .sink(store);
      if (seconds.isEmpty()) {
        return taken(broker, count, pack, builder, store);
      }
      try (Second second = seconds.orElseThrow().start(broker.uri(), folder, store)) {
        double rate = taken(broker, count, pack, builder.sink(second), store);
        second.check((long) count * pack);
        return rate;
      }
    }
  }

  private static double taken(
      TestBroker broker,
      int count,
      int pack,
      SensorSubscriber.Builder builder,
      SqliteReadings store)
      throws Exception {
    try (SensorSubscriber subscriber = builder.start()) {
      while (!subscriber.linkState().connected()) {
        Thread.onSpinWait();
      }
      double rate = rate(broker, count, pack, subscriber::messages);
      long stored =
          store.series().stream()
              .mapToLong(s -> store.range(s, Instant.EPOCH, Instant.now().plusSeconds(3600)).size())
              .sum();
      if (stored != (long) count * pack) {
        throw new AssertionError("stored " + stored + " of " + (long) count * pack);
      }
      return rate;
    }
  }

  /** Messages a second from the first publish to the last arrival. */
  private static double rate(TestBroker broker, int count, int pack, LongSupplier arrived)
      throws Exception {
    try (MqttLink probe = MqttLink.open(MqttSettings.of(broker.uri(), "probe"))) {
      long firstMs = Instant.now().toEpochMilli() - (long) count * pack; // the last is of now
      long start = System.nanoTime();
      for (int i = 0; i < count; i++) {
        byte[] value = payload(i, pack, firstMs);
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

  /** A bare number, or a pack of readings a millisecond apart. */
  private static byte[] payload(int message, int pack, long firstMs) {
    double value = 8 + message % 100 / 100.0;
    if (pack == 1) {
      return String.valueOf(value).getBytes(UTF_8);
    }
    StringBuilder json = new StringBuilder("[");
    for (int i = 0; i < pack; i++) {
      json.append(i == 0 ? "{" : ",{");
      if (i == 0) {
        json.append("\"bt\":")
            .append(BigDecimal.valueOf(firstMs + (long) message * pack, 3))
            .append(",\"bu\":\"mg/l\",");
      }
      json.append("\"t\":").append(BigDecimal.valueOf(i, 3));
      json.append(",\"v\":").append(value).append('}');
    }
    return json.append(']').toString().getBytes(UTF_8);
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
