// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.awaitility.Awaitility.await;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.Consumer;
import java.util.stream.IntStream;
import opercle.ingest.payload.PayloadDecoder;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import opercle.ingest.store.SqliteReadings;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestInstance;
import org.junit.jupiter.api.io.TempDir;

/** What the subscriber and the link keep to with any broker. One broker serves all tests. */
@TestInstance(TestInstance.Lifecycle.PER_CLASS)
abstract class BrokerContract {

  static final Duration PATIENCE = Duration.ofSeconds(30);
  private static final AtomicInteger NUMBER = new AtomicInteger();

  private Path brokerFolder;
  TestBroker broker;
  MqttLink probe;

  /** A name that no other test uses: as client id and as tank. */
  String name;

  final CollectingSink sink = new CollectingSink();

  abstract TestBroker startBroker(Path folder) throws Exception;

  @BeforeAll
  void keepFolder(@TempDir Path folder) {
    brokerFolder = folder;
  }

  @AfterAll
  void stopBroker() {
    if (broker != null) {
      broker.close();
    }
  }

  /** The first test starts the broker, so that each one is skipped where there is none. */
  @BeforeEach
  void startBrokerAndOpenProbe() throws Exception {
    if (broker == null) {
      broker = startBroker(brokerFolder);
    }
    name = "n" + NUMBER.incrementAndGet();
    sink.clear();
    probe = MqttLink.open(MqttSettings.of(broker.uri(), "probe-" + name));
  }

  @AfterEach
  void closeProbe() {
    if (probe != null) {
      probe.close();
    }
  }

  @Test
  void bareNumberAndSenml_reachTheSink() throws Exception {
    try (SensorSubscriber subscriber = connected(builder().start())) {
      send("oxygen", "8.62");
      send("temperature/2", "[{\"t\":1773454267.5,\"u\":\"K\",\"v\":288.15}]");
      send("oxygen", "no number");

      await().atMost(PATIENCE).until(() -> subscriber.messages() == 3);

      assertThat(sink.taken()).hasSize(2);
      assertThat(sink.taken().get(0).value()).isEqualTo(8.62);
      assertThat(sink.taken().get(0).time())
          .isCloseTo(Instant.now(), within(20, ChronoUnit.SECONDS));
      assertThat(sink.taken().get(1))
          .isEqualTo(
              new Reading(
                  name,
                  Quantity.TEMPERATURE,
                  "2",
                  Instant.parse("2026-03-14T02:11:07.500Z"),
                  15.0));
      assertThat(subscriber.rejections().total()).isEqualTo(1);
    }
  }

  @Test
  void messageOfAStranger_isDecodedOnce_whereNobodyIsAwaited() throws Exception {
    AtomicInteger asked = new AtomicInteger();
    PayloadDecoder counting =
        new PayloadDecoder(
            tank -> {
              if (tank.equals(name)) {
                asked.incrementAndGet();
              }
              return false;
            },
            List.of());
    try (SensorSubscriber subscriber =
        connected(SensorSubscriber.builder(settings(), counting).sink(sink).start())) {
      send("oxygen", "8.1");

      await().atMost(PATIENCE).until(() -> subscriber.messages() == 1);
      assertThat(asked).hasValue(1);
      assertThat(subscriber.rejections().total()).isEqualTo(1);
    }
  }

  /**
   * The tank's name is asked for while decoding; what throws there stands for any fault of ours.
   */
  @Test
  void faultInDecodingOneMessage_isCountedAndTheNextOneIsTaken() throws Exception {
    AtomicInteger asked = new AtomicInteger();
    PayloadDecoder faulty =
        new PayloadDecoder(
            tank -> {
              if (tank.equals(name) && asked.incrementAndGet() == 1) {
                throw new IllegalStateException("a fault of ours");
              }
              return tank.equals(name);
            },
            List.of());
    try (SensorSubscriber subscriber =
        connected(SensorSubscriber.builder(settings(), faulty).sink(sink).start())) {
      send("oxygen", "8.1");
      send("oxygen", "8.2");

      await().atMost(PATIENCE).until(() -> sink.values().contains(8.2));
      assertThat(sink.values()).containsExactly(8.2);
      assertThat(subscriber.rejections().latest().get(0).detail()).contains("a fault of ours");
    }
  }

  @Test
  void messagesFromWhileItWasAway_comeWhenItReturns() throws Exception {
    connected(builder().start()).close();
    send("oxygen", "8.1");
    send("oxygen", "8.2");

    try (SensorSubscriber subscriber = builder().start()) {
      await().atMost(PATIENCE).until(() -> subscriber.messages() == 2);
      assertThat(sink.values()).containsExactly(8.1, 8.2);
    }
  }

  @Test
  void sinkThatFails_getsTheSameBatchUntilItTakesIt() throws Exception {
    CollectingSink before = new CollectingSink();
    try (SensorSubscriber subscriber =
        connected(
            SensorSubscriber.builder(settings(), decoder()).sink(before).sink(sink).start())) {
      sink.refuse(true);
      send("oxygen", "8.1");
      await().atMost(PATIENCE).until(() -> sink.refused().size() >= 3);
      send("oxygen", "8.2");

      assertThat(subscriber.trouble().orElseThrow())
          .isEqualTo("they cannot be taken in: the log says why");
      assertThat(subscriber.messages()).isZero();
      assertThat(sink.refused()).allMatch(batch -> batch.equals(sink.refused().get(0)));

      sink.refuse(false);
      await().atMost(PATIENCE).until(() -> subscriber.messages() == 2);
      assertThat(subscriber.trouble()).isEmpty();
      assertThat(sink.values()).containsExactly(8.1, 8.2);
      assertThat(before.values()).containsExactly(8.1, 8.2);
    }
  }

  @Test
  void bareNumbersDeliveredAgain_keepTheirFirstTimeOfArrival(@TempDir Path folder)
      throws Exception {
    try (SqliteReadings store = SqliteReadings.open(folder.resolve("readings.db"))) {
      // The first subscriber stores three equal values and is cut off before it acknowledges them.
      CollectingSink stuck = new CollectingSink();
      stuck.refuse(true);
      SensorSubscriber first = connected(storing(store).sink(stuck).start());
      for (int i = 0; i < 3; i++) {
        send("oxygen", "8.5");
      }
      await()
          .atMost(PATIENCE)
          .until(() -> store.newest(series()).isPresent() && !stuck.refused().isEmpty());
      first.close();
      List<Reading> storedFirst = all(store);
      send("oxygen", "8.5");

      try (SensorSubscriber second = storing(store).start()) {
        await().atMost(PATIENCE).until(() -> second.messages() == 4);
        assertThat(all(store)).hasSize(4).startsWith(storedFirst.toArray(Reading[]::new));
      }
    }
  }

  @Test
  void flood_arrivesWholeAndInOrderOfTimeHoweverManyMayBeInFlight() throws Exception {
    int count = 5_000;
    try (SensorSubscriber subscriber = connected(builder().start())) {
      List<CompletableFuture<Void>> acknowledged = new ArrayList<>();
      for (int i = 0; i < count; i++) {
        acknowledged.add(
            probe.publish(
                topic("temperature"), String.valueOf(i / 100.0).getBytes(UTF_8), 1, false));
      }
      CompletableFuture.allOf(acknowledged.toArray(CompletableFuture[]::new))
          .get(PATIENCE.toSeconds(), TimeUnit.SECONDS);
      await().atMost(PATIENCE).until(() -> subscriber.messages() == count);

      List<Double> byTime =
          sink.taken().stream()
              .sorted(Comparator.comparing(Reading::time))
              .map(Reading::value)
              .toList();
      assertThat(byTime.equals(IntStream.range(0, count).mapToObj(i -> i / 100.0).toList()))
          .as("every value, once, in order of time")
          .isTrue();
      assertThat(sink.taken().stream().map(Reading::time).distinct()).hasSize(count);
    }
  }

  @Test
  void publish_atQos0AndRetained_reachesLaterSubscribers() throws Exception {
    probe.publish(topic("ph"), "[{\"t\":1773454267,\"v\":7.5}]".getBytes(UTF_8), 1, true).get();

    try (SensorSubscriber subscriber = connected(builder().start())) {
      await().atMost(PATIENCE).until(() -> sink.values().contains(7.5));
      probe.publish(topic("ph"), "7.4".getBytes(UTF_8), 0, false).get();
      await().atMost(PATIENCE).until(() -> sink.values().contains(7.4));
      assertThat(subscriber.dropped()).isZero();
    }
    probe.publish(topic("ph"), new byte[0], 1, true).get();
  }

  @Test
  void closedLink_leavesNoThreadAndRefusesToPublish() throws Exception {
    try (SensorSubscriber subscriber = connected(builder().start())) {
      assertThat(threadsOf(name)).isNotEmpty();
      assertThat(subscriber.linkState().trouble()).isEmpty();
    }

    probe.close();
    await()
        .atMost(PATIENCE)
        .untilAsserted(() -> assertThat(threadsOf(name)).as("threads left").isEmpty());
    assertThat(probe.offer(topic("ph"), new byte[0], 1, false)).isCompletedExceptionally();
  }

  @Test
  void listenerThatThrowsAtAMessage_hearsTheNextOneAllTheSame() throws Exception {
    List<String> heard = new CopyOnWriteArrayList<>();
    try (TopicListener listener =
        TopicListener.open(
            settings(),
            List.of("other/" + name),
            message -> {
              heard.add(new String(message.payload(), UTF_8));
              if (heard.size() == 1) {
                throw new IllegalStateException("no such tank");
              }
            })) {
      await().atMost(PATIENCE).until(() -> listener.linkState().connected());
      Instant since = listener.linkState().since();
      probe.publish("other/" + name, "first".getBytes(UTF_8), 1, false).get();
      probe.publish("other/" + name, "second".getBytes(UTF_8), 1, false).get();

      await().atMost(PATIENCE).until(() -> heard.contains("second"));
      assertThat(heard).containsExactly("first", "second");
      assertThat(listener.linkState().since()).as("never cut off").isEqualTo(since);
    }
  }

  @Test
  void listenerThatReturns_hearsWhatIsRetainedAndNothingThatWasMissed() throws Exception {
    String topic = "other/" + name;
    List<String> heard = new CopyOnWriteArrayList<>();
    Consumer<TopicListener.Message> hear =
        m -> heard.add(new String(m.payload(), UTF_8) + (m.retained() ? ", retained" : ""));
    probe.publish(topic, "kept".getBytes(UTF_8), 1, true).get();
    for (int start = 1; start <= 2; start++) {
      try (TopicListener listener = TopicListener.open(settings(), List.of(topic), hear)) {
        int times = start;
        await().atMost(PATIENCE).until(() -> heard.size() >= times);
        assertThat(listener.linkState().trouble()).isEmpty();
      }
      probe.publish(topic, "missed".getBytes(UTF_8), 1, false).get();
    }

    assertThat(heard).containsExactly("kept, retained", "kept, retained");
    probe.publish(topic, new byte[0], 1, true).get();
  }

  /** What changes meanwhile it does not hear. */
  @Test
  void listenerWhoseConnectionEnds_isToldOfIt() {
    AtomicInteger lost = new AtomicInteger();
    try (TopicListener listener =
        TopicListener.open(
            settings(), List.of("other/" + name), message -> {}, lost::incrementAndGet)) {
      await().atMost(PATIENCE).until(() -> listener.linkState().connected());
      assertThat(lost).hasValue(0);

      MqttLink other = MqttLink.open(settings()); // of the same name: pushes it out
      try {
        await().atMost(PATIENCE).until(() -> lost.get() > 0);
      } finally {
        other.close();
      }
    }
  }

  @Test
  void oneClientIdTwice_isToldInWords() throws Exception {
    try (MqttLink first = MqttLink.open(settings())) {
      await().atMost(PATIENCE).until(() -> first.state().connected());
      try (MqttLink second = MqttLink.open(settings())) {
        await()
            .atMost(PATIENCE)
            .until(
                () -> first.state().trouble().isPresent() || second.state().trouble().isPresent());
      }
    }
  }

  static List<String> threadsOf(String clientId) {
    List<String> ours = List.of("mqtt-link-" + clientId, "sensor-subscriber-" + clientId);
    return Thread.getAllStackTraces().keySet().stream()
        .map(Thread::getName)
        .filter(thread -> thread.endsWith(": " + clientId) || ours.contains(thread))
        .toList();
  }

  SensorSubscriber connected(SensorSubscriber subscriber) {
    await().atMost(PATIENCE).until(() -> subscriber.linkState().connected());
    return subscriber;
  }

  SensorSubscriber.Builder builder() {
    return SensorSubscriber.builder(settings(), decoder()).sink(sink);
  }

  SensorSubscriber.Builder storing(SqliteReadings store) {
    return SensorSubscriber.builder(settings(), decoder())
        .arrivals(store.arrivals(SensorSubscriber.RECEIVE_MAXIMUM))
        .sink(store);
  }

  MqttSettings settings() {
    return MqttSettings.of(broker.uri(), name);
  }

  /** Knows only this test's tank, for all tests share the broker. */
  PayloadDecoder decoder() {
    return new PayloadDecoder(name::equals, List.of());
  }

  Series series() {
    return new Series(name, Quantity.OXYGEN, "1");
  }

  List<Reading> all(SqliteReadings store) {
    return store.range(series(), Instant.EPOCH, Instant.now().plusSeconds(3600));
  }

  String topic(String quantity) {
    return "tanks/" + name + "/" + quantity;
  }

  void send(String quantity, String payload) throws Exception {
    probe
        .publish(topic(quantity), payload.getBytes(UTF_8), 1, false)
        .get(PATIENCE.toSeconds(), TimeUnit.SECONDS);
  }
}
