// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.mqtt;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.net.URI;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import opercle.ingest.ChildJvm;
import opercle.ingest.payload.PayloadDecoder;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import opercle.ingest.store.SqliteReadings;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What holds when the broker, or we, are killed outright. */
abstract class RestartContract extends BrokerContract {

  @Test
  void brokerThatIsKilledAndComesBack_isFoundAgain() throws Exception {
    try (SensorSubscriber subscriber = connected(builder().start())) {
      send("oxygen", "8.1");
      await().atMost(PATIENCE).until(() -> sink.values().contains(8.1));

      broker.kill();
      await().atMost(PATIENCE).until(() -> !subscriber.linkState().connected());
      assertThat(subscriber.linkState().trouble().orElseThrow()).contains("MQTT broker");
      CompletableFuture<Void> whileAway =
          probe.publish(topic("oxygen"), "8.2".getBytes(UTF_8), 1, false);
      broker.restart();

      connected(subscriber);
      // It may have come before the subscription of a broker that has forgotten the session.
      whileAway.get(PATIENCE.toSeconds(), TimeUnit.SECONDS);
      send("oxygen", "8.3");
      await().atMost(PATIENCE).until(() -> sink.values().contains(8.3));
    }
  }

  /** The batch's own connection is closed by the time that it could be acknowledged. */
  @Test
  void brokerKilledWhileABatchIsInHand_batchIsTakenAndTheStreamGoesOn() throws Exception {
    try (SensorSubscriber subscriber = connected(builder().start())) {
      sink.refuse(true);
      send("oxygen", "8.1");
      await().atMost(PATIENCE).until(() -> !sink.refused().isEmpty());

      broker.kill();
      await().atMost(PATIENCE).until(() -> !subscriber.linkState().connected());
      broker.restart();
      connected(subscriber);
      sink.refuse(false);
      await().atMost(PATIENCE).until(() -> sink.values().contains(8.1));

      send("oxygen", "8.2");
      await().atMost(PATIENCE).until(() -> sink.values().contains(8.2));
    }
  }

  @Test
  void brokerThatComesUpLater_isFoundThen() throws Exception {
    broker.kill();
    Instant before = Instant.now();
    try (SensorSubscriber subscriber = builder().start()) {
      assertThat(Duration.between(before, Instant.now())).isLessThan(Duration.ofSeconds(10));
      await().atMost(PATIENCE).until(() -> subscriber.linkState().trouble().isPresent());
      assertThat(subscriber.linkState().trouble().orElseThrow())
          .isEqualTo(
              "cannot connect to the MQTT broker %s as %s: nothing answers there; is the broker"
                      .formatted(broker.uri(), name)
                  + " running?");

      broker.restart();
      connected(subscriber);
      send("oxygen", "8.1");
      await().atMost(PATIENCE).until(() -> sink.values().contains(8.1));
    }
  }

  @Test
  void triesThatFail_leaveNoThreads() throws Exception {
    broker.kill();
    try (MqttLink link = MqttLink.open(settings())) {
      await().atMost(PATIENCE).until(() -> link.state().trouble().isPresent());
      await()
          .during(Duration.ofSeconds(2))
          .atMost(PATIENCE)
          .until(() -> threadsOf(name).size() <= 5);
    } finally {
      broker.restart();
    }
    await().atMost(PATIENCE).untilAsserted(() -> assertThat(threadsOf(name)).isEmpty());
  }

  /** Whether the broker never publishes the will of a client that has taken leave. */
  boolean heedsFarewell() {
    return true;
  }

  @Test
  void will_isPublishedWhenWeAreKilledAndNotWhenWeClose() throws Exception {
    try (SensorSubscriber subscriber = connected(builder().start());
        ChildJvm child = ChildJvm.start(WillChild.class, broker.uri().toString(), name)) {
      child.awaitLine("up"::equals, PATIENCE);
      Will will = new Will(topic("ph"), "6.5".getBytes(UTF_8), false);
      MqttLink closed = MqttLink.open(MqttSettings.of(broker.uri(), "closed-" + name), will);
      await().atMost(PATIENCE).until(() -> closed.state().connected());
      closed.close();

      child.kill();

      await().atMost(PATIENCE).until(() -> subscriber.messages() >= 1);
      await().atMost(PATIENCE).until(() -> sink.values().contains(7.5));
      if (heedsFarewell()) {
        assertThat(sink.values()).containsExactly(7.5);
      }
    }
  }

  /** Publishes its will when it is killed. */
  static final class WillChild {
    public static void main(String[] args) throws Exception {
      Will will = new Will("tanks/" + args[1] + "/ph", "7.5".getBytes(UTF_8), false);
      MqttSettings settings = MqttSettings.of(URI.create(args[0]), "will-" + args[1]);
      try (MqttLink link = MqttLink.open(settings, will)) {
        await().atMost(PATIENCE).until(() -> link.state().connected());
        System.out.println("up");
        new CountDownLatch(1).await();
      }
    }
  }

  /** Equal values follow each other, so that a reading lost or doubled cannot hide. */
  @Test
  void subscriberKilledOutright_missesNoReadingAndDoublesNone(@TempDir Path folder)
      throws Exception {
    int count = 12_000;
    Path file = folder.resolve("readings.db");
    ChildJvm child = startIngest(file);
    List<CompletableFuture<Void>> acknowledged = new ArrayList<>();
    try {
      for (int i = 0; i < count; i++) {
        acknowledged.add(publishBareNumber(i));
        acknowledged.add(publishSenml(i));
        if (i % 3_000 == 2_999) {
          child.kill();
          child = startIngest(file);
        }
      }
      CompletableFuture.allOf(acknowledged.toArray(CompletableFuture[]::new))
          .get(60, TimeUnit.SECONDS);

      try (SqliteReadings store = SqliteReadings.openReadOnly(file)) {
        Instant last = SENML_START.plusSeconds(count - 1);
        Series senml = new Series(name, Quantity.TEMPERATURE, "1");
        await()
            .atMost(Duration.ofSeconds(60))
            .until(() -> store.newest(senml).filter(r -> r.time().equals(last)).isPresent());
        List<Double> expectedBare = new ArrayList<>();
        List<Double> expectedSenml = new ArrayList<>();
        for (int i = 0; i < count; i++) {
          expectedBare.add(bareNumber(i));
          expectedSenml.add(i % 40 / 2.0);
        }
        await().atMost(PATIENCE).until(() -> all(store).size() >= count);
        assertSame(all(store), expectedBare);
        assertSame(store.range(senml, Instant.EPOCH, last.plusSeconds(1)), expectedSenml);
      }
    } finally {
      child.close();
    }
  }

  /** Names the first difference, instead of printing thousands of readings. */
  private static void assertSame(List<Reading> stored, List<Double> expected) {
    for (int i = 0; i < Math.min(stored.size(), expected.size()); i++) {
      assertThat(stored.get(i).value())
          .as("value %d, %s", i, stored.get(i))
          .isEqualTo(expected.get(i));
    }
    assertThat(stored.size()).as("readings stored").isEqualTo(expected.size());
  }

  private static final Instant SENML_START = Instant.parse("2026-03-14T02:00:00Z");

  private static double bareNumber(int i) {
    return i / 3 % 50 / 10.0; // three equal ones each time
  }

  private CompletableFuture<Void> publishBareNumber(int i) throws InterruptedException {
    return probe.publish(topic("oxygen"), String.valueOf(bareNumber(i)).getBytes(UTF_8), 1, false);
  }

  private CompletableFuture<Void> publishSenml(int i) throws InterruptedException {
    String pack = "[{\"t\":%d,\"v\":%s}]".formatted(SENML_START.getEpochSecond() + i, i % 40 / 2.0);
    return probe.publish(topic("temperature"), pack.getBytes(UTF_8), 1, false);
  }

  private ChildJvm startIngest(Path file) throws Exception {
    ChildJvm child =
        ChildJvm.start(IngestChild.class, broker.uri().toString(), file.toString(), name);
    child.awaitLine("up"::equals, PATIENCE);
    return child;
  }

  /** Stores what comes until it is killed. */
  static final class IngestChild {
    public static void main(String[] args) throws Exception {
      MqttSettings settings = MqttSettings.of(URI.create(args[0]), args[2]);
      var decoder = new PayloadDecoder(args[2]::equals, List.of());
      try (SqliteReadings store = SqliteReadings.open(Path.of(args[1]));
          SensorSubscriber subscriber =
              SensorSubscriber.builder(settings, decoder)
                  .arrivals(store.arrivals(SensorSubscriber.RECEIVE_MAXIMUM))
                  .sink(store)
                  .start()) {
        await().atMost(PATIENCE).until(() -> subscriber.linkState().connected());
        System.out.println("up");
        new CountDownLatch(1).await();
      }
    }
  }
}
