// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatExceptionOfType;
import static org.awaitility.Awaitility.await;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.time.temporal.ChronoUnit;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.concurrent.atomic.AtomicReference;
import opercle.analysis.alarm.RefusedActException;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.FarmRecords;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmReader;
import opercle.analysis.publish.Topics;
import opercle.analysis.setup.FarmDesk;
import opercle.analysis.setup.FarmDoor;
import opercle.ingest.mqtt.EmbeddedBroker;
import opercle.ingest.mqtt.MqttLink;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.mqtt.TopicListener;
import opercle.ingest.payload.TopicMapping;
import opercle.ingest.reading.Quantity;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The farm is changed in a dashboard that runs apart from the watch. */
class FarmOverMqttTest {

  private static final Duration PATIENCE = Duration.ofSeconds(30);

  @TempDir Path folder;

  private static Farm farm(int kg) {
    return FarmReader.parse(
        "farm.yaml",
        """
        farm: Sallowmere
        tanks:
          - id: h1
            kind: holding
            waterLitres: 1500
            supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }
            load: { species: tench, kg: %d }
        """
            .formatted(kg));
  }

  @Test
  void change_isInTheBookWhenItIsAnswered_andEveryServiceHearsOfIt() {
    Topics topics = new Topics("Sallowmere");
    try (RunningParts parts = new RunningParts()) {
      EmbeddedBroker broker = parts.add(EmbeddedBroker.start(folder.resolve("broker"), 0));
      MqttSettings settings = MqttSettings.of(broker.uri(), "opercle");
      FarmRecords records = new FarmRecords(parts.add(FarmBook.open(folder.resolve("book.db"))));
      FarmDesk desk = FarmDesk.open(records, farm(55), "farm.yaml", InstantSource.system());
      MqttLink watchLink = parts.add(MqttLink.open(Sessions.named(settings, "watch")));
      FarmOverMqtt overMqtt = new FarmOverMqtt(desk, topics, watchLink);
      TopicListener changes = parts.add(overMqtt.listen(Sessions.named(settings, "farm")));

      HeardFarm heard = new HeardFarm(farm(1));
      MqttLink link = parts.add(MqttLink.open(Sessions.named(settings, "pages")));
      RemoteFarm remote =
          new RemoteFarm(
              heard, InstantSource.system(), topics, link, PeopleCalled.morning(Optional.empty()));
      parts.add(
          TopicListener.open(
              Sessions.named(settings, "ears"),
              List.of(topics.farmNow(), topics.answerFilter()),
              message -> {
                heard.heard(message);
                remote.heard(message);
              }));
      await()
          .atMost(PATIENCE)
          .until(
              () -> {
                overMqtt.states(List.of()); // a second passes
                return heard.version().equals(desk.version());
              });
      await().atMost(PATIENCE).until(() -> changes.linkState().connected());

      remote.change(OptionalLong.of(1), "Robin", farm -> farm(30));

      assertThat(records.newest().orElseThrow().farm()).isEqualTo(farm(30));
      await().atMost(PATIENCE).until(() -> remote.farm().equals(farm(30)));
      assertThatExceptionOfType(RefusedActException.class)
          .isThrownBy(() -> remote.change(OptionalLong.of(1), "Wren", farm -> farm(20)))
          .withMessageStartingWith("Robin has changed the farm meanwhile.");

      Instant since = Instant.now().minusSeconds(3600).truncatedTo(ChronoUnit.SECONDS);
      remote.putIn(OptionalLong.of(2), "Wren", farm -> farm(40), new FarmDoor.PutIn("h1", since));

      assertThat(records.newest().orElseThrow().farm()).isEqualTo(farm(40));
      assertThat(records.putIn("h1")).containsExactly(Map.entry(3L, since));

      Instant never = Instant.parse("+100000000-01-01T00:00:00Z");
      assertThatExceptionOfType(RefusedActException.class)
          .as("answered, in words")
          .isThrownBy(
              () ->
                  remote.putIn(
                      OptionalLong.of(3),
                      "Wren",
                      farm -> farm(50),
                      new FarmDoor.PutIn("h1", never)))
          .withMessageContaining("that is not to come");
    }
  }

  @Test
  void topicsAssignedOnThePages_reachAnIngest_andAreKnownToItsNextRun() {
    Topics topics = new Topics("Sallowmere");
    TopicMapping mapping = TopicMapping.of("shed/probe7", "h1", Quantity.OXYGEN, "/mgL");
    AtomicReference<List<TopicMapping>> followed = new AtomicReference<>();
    try (RunningParts parts = new RunningParts()) {
      EmbeddedBroker broker = parts.add(EmbeddedBroker.start(folder.resolve("broker"), 0));
      MqttSettings settings = MqttSettings.of(broker.uri(), "opercle");
      FarmRecords records = new FarmRecords(parts.add(FarmBook.open(folder.resolve("book.db"))));
      FarmDesk desk = FarmDesk.open(records, farm(55), "farm.yaml", InstantSource.system());
      MqttLink link = parts.add(MqttLink.open(Sessions.named(settings, "watch")));
      FarmOverMqtt overMqtt = new FarmOverMqtt(desk, topics, link);
      overMqtt.assigned(List.of(mapping));

      HeardTopics heard = new HeardTopics(List.of("Sallowmere", "North"), folder);
      heard.follow(followed::set);
      assertThat(followed.get()).isEmpty();
      parts.add(TopicListener.open(Sessions.named(settings, "ears"), heard.topics(), heard::heard));
      await().atMost(PATIENCE).untilAsserted(() -> assertThat(followed.get()).hasSize(1));
      assertThat(followed.get()).containsExactly(mapping);
      assertThat(new HeardTopics(List.of("Sallowmere"), folder).mappings())
          .containsExactly(mapping);

      overMqtt.assigned(List.of());
      await().atMost(PATIENCE).untilAsserted(() -> assertThat(followed.get()).isEmpty());
      assertThat(new HeardTopics(List.of("Sallowmere"), folder).mappings()).isEmpty();
    }
  }
}
