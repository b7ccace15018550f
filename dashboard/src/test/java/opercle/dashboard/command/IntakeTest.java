// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import opercle.analysis.book.FarmVersion;
import opercle.analysis.farm.FarmReader;
import opercle.analysis.publish.Topics;
import opercle.analysis.setup.FarmMessages;
import opercle.analysis.setup.TopicMessages;
import opercle.ingest.mqtt.EmbeddedBroker;
import opercle.ingest.mqtt.MqttLink;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.mqtt.SensorSubscriber;
import opercle.ingest.payload.TopicMapping;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Rejection;
import opercle.ingest.reading.Series;
import opercle.ingest.store.SqliteReadings;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What the broker holds for an ingest that was away, of tanks that were set up meanwhile. */
class IntakeTest {

  private static final Duration PATIENCE = Duration.ofSeconds(30);
  private static final Instant START = Instant.parse("2026-03-14T02:00:00Z");
  private static final Topics TOPICS = new Topics("Sallowmere");
  private static final TopicMapping MAPPING =
      TopicMapping.of("shed/probe7", "h9", Quantity.TEMPERATURE, "/degC");

  @TempDir Path folder;
  private final AtomicLong nanos = new AtomicLong();
  private EmbeddedBroker broker;
  private MqttLink link;
  private Configuration c;

  private static String farm(String... tanks) {
    StringBuilder yaml = new StringBuilder("farm: Sallowmere\ntanks:\n");
    for (String tank : tanks) {
      yaml.append("  - id: ")
          .append(tank)
          .append("\n    kind: holding\n    waterLitres: 1500\n    supply: ")
          .append("{ gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }\n");
    }
    return yaml.toString();
  }

  @BeforeEach
  void start() throws IOException {
    broker = EmbeddedBroker.start(folder.resolve("broker"), 0);
    link = MqttLink.open(MqttSettings.of(broker.uri(), "probes"));
    Files.createDirectories(folder.resolve("data"));
    Files.writeString(folder.resolve("farm.yaml"), farm("h1"));
    c =
        ConfigurationReader.read(
            Files.writeString(
                folder.resolve("opercle.yaml"),
                "farm: farm.yaml\ndataFolder: data\nmqtt: { broker: \"%s\", clientId: in }\n"
                    .formatted(broker.uri())));
  }

  @AfterEach
  void stop() {
    link.close();
    broker.close();
  }

  /** An ingest that runs. */
  private record Running(RunningParts parts, Intake intake, SqliteReadings store)
      implements AutoCloseable {

    SensorSubscriber subscriber() {
      return intake.subscriber();
    }

    List<Reading> stored(Series series) {
      return store.range(series, START, START.plusSeconds(60));
    }

    @Override
    public void close() {
      parts.close();
    }
  }

  private Running started() {
    RunningParts parts = new RunningParts();
    SqliteReadings store = parts.add(SqliteReadings.open(folder.resolve("data/readings.db")));
    Intake intake =
        Intake.start(
            parts,
            c,
            MqttSettings.of(broker.uri(), "in-ingest"),
            store,
            Set.of(),
            InstantSource.system(),
            nanos::get);
    return new Running(parts, intake, store);
  }

  private void sessionIsThereAndIngestAway() {
    try (Running first = started()) {
      await().atMost(PATIENCE).until(() -> first.subscriber().linkState().connected());
    }
  }

  private void publish(String topic, String payload, boolean retained) throws Exception {
    link.publish(topic, Services.bytes(payload), 1, retained).get(30, TimeUnit.SECONDS);
  }

  private void probeSends(String tank, int seconds) throws Exception {
    for (int i = 0; i < seconds; i++) {
      publish(
          "tanks/%s/oxygen/p1".formatted(tank),
          "[{\"t\":%d,\"u\":\"mg/L\",\"v\":8.5}]".formatted(START.getEpochSecond() + i),
          false);
    }
  }

  private void watchTells() throws Exception {
    FarmVersion version =
        new FarmVersion(
            7, FarmReader.parse("farm.yaml", farm("h1", "h9")), Instant.EPOCH, "Robin", List.of());
    publish(TOPICS.farmNow(), FarmMessages.version(version), true);
    publish(TOPICS.assignedTopics(), TopicMessages.of(List.of(MAPPING)), true);
  }

  private static Series oxygenOf(String tank) {
    return new Series(tank, Quantity.OXYGEN, "p1");
  }

  private static void assertAllStoredOnce(Running ingest) {
    await().atMost(PATIENCE).until(() -> ingest.subscriber().messages() == 20);
    assertThat(ingest.subscriber().rejections().counts()).isEmpty();
    assertThat(ingest.stored(oxygenOf("h9"))).hasSize(20).doesNotHaveDuplicates();
  }

  @Test
  void readingsOfATankThatWasSetUpMeanwhile_areStored_whereTheBrokerKeepsTheFarm()
      throws Exception {
    sessionIsThereAndIngestAway();
    watchTells();
    probeSends("h9", 20);

    try (Running second = started()) {
      assertAllStoredOnce(second);
    }
  }

  @Test
  void readingsThatComeBeforeTheFarm_waitForIt() throws Exception {
    sessionIsThereAndIngestAway();
    probeSends("h9", 20);

    try (Running second = started()) {
      awaitTurns(second);
      assertThat(second.subscriber().messages()).as("nothing is acknowledged yet").isZero();

      watchTells();

      assertAllStoredOnce(second);
      publish("shed/probe7", "{\"degC\":12.5}", false);
      await().atMost(PATIENCE).until(() -> second.subscriber().messages() == 21);
      assertThat(second.subscriber().rejections().counts()).isEmpty();
    }
  }

  @Test
  void whereNobodyTellsTheFarm_readingsGoOnAfterAWhile_strangersTurnedAway() throws Exception {
    sessionIsThereAndIngestAway();
    probeSends("h1", 2);
    probeSends("h9", 3);
    probeSends("h1", 4);

    try (Running second = started()) {
      awaitTurns(second);
      assertThat(second.subscriber().rejections().counts()).isEmpty();

      await()
          .atMost(PATIENCE)
          .until(
              () -> {
                nanos.addAndGet(AwaitedNews.AT_MOST.toNanos()); // the wait may not have begun yet
                return second.subscriber().messages() == 9;
              });
      assertThat(second.subscriber().rejections().counts())
          .isEqualTo(Map.of(Rejection.Reason.UNKNOWN_TANK, 3L));
      assertThat(second.stored(oxygenOf("h1"))).hasSize(4);
    }
  }

  @Test
  void ingestThatEndsWhileReadingsWait_leavesThemToTheBroker() throws Exception {
    sessionIsThereAndIngestAway();
    probeSends("h9", 20);
    try (Running second = started()) {
      awaitTurns(second);
    }
    watchTells();

    try (Running third = started()) {
      assertAllStoredOnce(third);
    }
  }

  /** Its thread has come round, and cannot have done anything but wait. */
  private static void awaitTurns(Running ingest) {
    await().atMost(PATIENCE).until(() -> ingest.subscriber().linkState().connected());
    long turns = ingest.subscriber().turns();
    await().atMost(PATIENCE).until(() -> ingest.subscriber().turns() > turns + 5);
  }

  @Test
  void waitIsOneForAll_andBeginsWithTheFirstReadingThatNeedsIt() {
    AwaitedNews news = new AwaitedNews(Set.of("farm", "topics"), nanos::get);
    nanos.addAndGet(Duration.ofHours(1).toNanos());
    assertThat(news.isAwaited()).isTrue();
    nanos.addAndGet(AwaitedNews.AT_MOST.minusSeconds(1).toNanos());
    news.heard("farm");
    assertThat(news.isAwaited()).as("the topics are not heard").isTrue();
    nanos.addAndGet(Duration.ofSeconds(1).toNanos());
    assertThat(news.isAwaited()).isFalse();
    nanos.addAndGet(Duration.ofHours(1).toNanos());
    assertThat(news.isAwaited()).as("no second wait for the same").isFalse();

    news.heard("topics");
    news.heard("farm");
    assertThat(news.isAwaited()).isFalse();
    news.lost();
    assertThat(news.isAwaited()).as("after the link was lost").isTrue();
    news.heard("farm");
    news.heard("topics");
    assertThat(news.isAwaited()).isFalse();
  }

  @Test
  void waitThatRanOut_beginsAnewOnceTheLinkIsLost_andOnlyThen() {
    AwaitedNews news = new AwaitedNews(Set.of("farm", "topics"), nanos::get);
    news.heard("farm");
    assertThat(news.isAwaited()).isTrue();
    nanos.addAndGet(AwaitedNews.AT_MOST.toNanos());
    assertThat(news.isAwaited()).as("nothing is held on the topics").isFalse();

    news.lost();
    assertThat(news.isAwaited()).as("the farm may be another by now").isTrue();
    nanos.addAndGet(AwaitedNews.AT_MOST.minusSeconds(1).toNanos());
    news.lost();
    assertThat(news.isAwaited()).isTrue();
    nanos.addAndGet(Duration.ofSeconds(1).toNanos());
    assertThat(news.isAwaited()).as("a link that flaps holds nothing for ever").isFalse();
  }
}
