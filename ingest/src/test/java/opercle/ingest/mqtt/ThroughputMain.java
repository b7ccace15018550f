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
import java.util.concurrent.CompletableFuture;
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
 * thousand a transaction, and does nothing else: as the driver is by default, where it looks up a
 * generated key after each insert, and without that. By turns in one run; the first round warms the
 * JVM and does not count. Publisher, subscriber and Mosquitto share the machine, while the loop has
 * it to itself; so the packs are taken a second time after they have all waited at the broker, with
 * no publisher beside. First argument: messages a round, 50,000 without.
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
    List<Double> waiting = new ArrayList<>();
    Path folder = Files.createTempDirectory("opercle-throughput");
    try (LocalMosquitto broker = LocalMosquitto.start(folder)) {
      for (int round = 1; round <= ROUNDS; round++) {
        String name = round == 1 ? "round 1 (to warm up)" : "round " + round;
        double bare = bareCounter(broker, count);
        double stored = taken(broker, count, 1, folder.resolve("ones" + round), second);
        System.out.printf(
            "%s: bare counter %.0f, %s %.0f messages/s, ratio %.2f%n",
            name, bare, where, stored, stored / bare);
        double rows = rawInserts(PACK * count, folder.resolve("raw" + round + ".db"), true);
        double barest = rawInserts(PACK * count, folder.resolve("bare" + round + ".db"), false);
        System.out.printf(
            "%s: raw insert loop %.0f rows/s, without looking up keys %.0f%n", name, rows, barest);
        double packed = PACK * taken(broker, count, PACK, folder.resolve("packs" + round), second);
        System.out.printf(
            "%s: packs of ten %s %.0f readings/s, ratio %.2f%n",
            name, where, packed, packed / rows);
        double waited = PACK * waiting(broker, count, folder.resolve("waiting" + round), second);
        System.out.printf(
            "%s: packs of ten that waited, %s %.0f readings/s, ratio %.2f (%.2f)%n",
            name, where, waited, waited / rows, waited / barest);
        if (round > 1) {
          ones.add(stored / bare);
          packs.add(packed / rows);
          waiting.add(waited / rows);
        }
      }
    }
    System.out.printf(
        "median ratios of %d rounds: one a message %.2f, packs of ten %.2f, that waited %.2f%n",
        ones.size(), median(ones), median(packs), median(waiting));
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
    try (MqttLink probe = probe(broker)) {
      return rate(probe, count, 1, arrived::get);
    } finally {
      client.disconnect().waitForCompletion();
      client.close();
    }
  }

  private static double rawInserts(int rows, Path file, boolean keys) throws SQLException {
    try (SqliteReadings made = SqliteReadings.open(file)) {
      made.series(); // the same tables
    }
    String url = "jdbc:sqlite:%s?jdbc.get_generated_keys=%s".formatted(file, keys);
    try (Connection connection = DriverManager.getConnection(url);
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

  /** Messages a second, of so many readings each, from the first publish to the last stored. */
  private static double taken(
      TestBroker broker, int count, int pack, Path folder, Optional<Seconds> seconds)
      throws Exception {
    return stored(
        broker,
        folder,
        seconds,
        (long) count * pack,
        (builder, time) -> {
          try (SensorSubscriber subscriber = builder.start();
              MqttLink probe = probe(broker)) {
            awaitConnected(subscriber);
            time.start();
            double rate = rate(probe, count, pack, subscriber::messages);
            show(time, (long) count * pack);
            return rate;
          }
        });
  }

  /** Packs a second that have waited in the broker's session, from the connect to the last. */
  private static double waiting(
      TestBroker broker, int count, Path folder, Optional<Seconds> seconds) throws Exception {
    Files.createDirectories(folder);
    SensorSubscriber.Builder early =
        SensorSubscriber.builder(settings(broker, folder), decoder()).sink(batch -> {});
    try (SensorSubscriber subscriber = early.start()) {
      awaitConnected(subscriber);
    }
    try (MqttLink probe = probe(broker)) {
      publish(probe, payloads(count, PACK)).get(TIMEOUT_NANOS, TimeUnit.NANOSECONDS);
    }
    return stored(
        broker,
        folder,
        seconds,
        (long) count * PACK,
        (builder, time) -> {
          time.start();
          long start = System.nanoTime();
          try (SensorSubscriber subscriber = builder.start()) {
            double rate = awaitAll(start, count, subscriber::messages);
            show(time, (long) count * PACK);
            return rate;
          }
        });
  }

  private static void show(ProcessorTime time, long readings) {
    System.out.println("  processor time, µs a reading: " + time.perReading(readings));
  }

  private static MqttLink probe(TestBroker broker) {
    return MqttLink.open(MqttSettings.of(broker.uri(), "probe"));
  }

  private static void awaitConnected(SensorSubscriber subscriber) {
    while (!subscriber.linkState().connected()) {
      Thread.onSpinWait();
    }
  }

  private static MqttSettings settings(TestBroker broker, Path folder) {
    return MqttSettings.of(broker.uri(), "ingest-" + folder.getFileName());
  }

  private static PayloadDecoder decoder() {
    return new PayloadDecoder(tank -> true, List.of());
  }

  /** What is measured of a subscriber into the sinks. */
  private interface Run {
    double messagesPerSecond(SensorSubscriber.Builder into, ProcessorTime time) throws Exception;
  }

  /** Runs it into a store of its own and the second sink, and looks whether all is there. */
  private static double stored(
      TestBroker broker, Path folder, Optional<Seconds> seconds, long readings, Run run)
      throws Exception {
    Files.createDirectories(folder);
    ProcessorTime time = new ProcessorTime();
    try (SqliteReadings store = SqliteReadings.open(folder.resolve("readings.db"))) {
      SensorSubscriber.Builder builder =
          SensorSubscriber.builder(settings(broker, folder), decoder())
              .arrivals(store.arrivals(SensorSubscriber.RECEIVE_MAXIMUM))
              .sink(time.timed("store", store));
      double rate;
      if (seconds.isEmpty()) {
        rate = run.messagesPerSecond(builder, time);
      } else {
        try (Second second = seconds.orElseThrow().start(broker.uri(), folder, store)) {
          rate = run.messagesPerSecond(builder.sink(time.timed("watch", second)), time);
          second.check(readings);
        }
      }
      long stored =
          store.series().stream()
              .mapToLong(s -> store.range(s, Instant.EPOCH, Instant.now().plusSeconds(3600)).size())
              .sum();
      if (stored != readings) {
        throw new AssertionError("stored " + stored + " of " + readings);
      }
      return rate;
    }
  }

  /** Messages a second from the first publish to the last arrival. */
  private static double rate(MqttLink probe, int count, int pack, LongSupplier arrived)
      throws InterruptedException {
    List<byte[]> payloads = payloads(count, pack); // to make them is no part of it
    long start = System.nanoTime();
    var unused = publish(probe, payloads);
    return awaitAll(start, count, arrived);
  }

  /** Done when the broker has the last. */
  private static CompletableFuture<Void> publish(MqttLink probe, List<byte[]> payloads)
      throws InterruptedException {
    CompletableFuture<Void> last = CompletableFuture.completedFuture(null);
    for (int i = 0; i < payloads.size(); i++) {
      last = probe.publish("tanks/h" + i % TANKS + "/oxygen", payloads.get(i), 1, false);
    }
    return last;
  }

  private static double awaitAll(long startNanos, int count, LongSupplier arrived)
      throws InterruptedException {
    while (arrived.getAsLong() < count) {
      if (System.nanoTime() - startNanos > TIMEOUT_NANOS) {
        throw new AssertionError("only " + arrived.getAsLong() + " of " + count + " arrived");
      }
      var unused = new CountDownLatch(1).await(1, TimeUnit.MILLISECONDS);
    }
    return count / ((System.nanoTime() - startNanos) / 1e9);
  }

  private static List<byte[]> payloads(int count, int pack) {
    long firstMs = Instant.now().toEpochMilli() - (long) count * pack; // the last is of now
    return IntStream.range(0, count).mapToObj(i -> payload(i, pack, firstMs)).toList();
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
