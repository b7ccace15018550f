// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.InstantSource;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentSkipListSet;
import opercle.analysis.publish.Topics;
import opercle.dashboard.monitor.KeptLeg;
import opercle.ingest.mqtt.EmbeddedBroker;
import opercle.ingest.mqtt.MqttLink;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.mqtt.SensorSubscriber;
import opercle.ingest.mqtt.TopicListener;
import opercle.ingest.payload.PayloadDecoder;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What an ingest notes of how the broker knows it. */
class IngestSessionTest {

  private static final Duration PATIENCE = Duration.ofSeconds(30);

  @TempDir Path folder;

  @Test
  void sharesAreRememberedWithTheName_andForgottenWithIt() {
    assertThat(IngestSession.noted(folder)).isEmpty();
    IngestSession first =
        IngestSession.now("opercle-a", Optional.of("yard"), IngestSession.noted(folder));
    first.note(folder);
    assertThat(IngestSession.noted(folder)).contains(first);

    IngestSession alone = IngestSession.now("opercle-a", Optional.empty(), Optional.of(first));
    assertThat(alone.shares()).containsExactly("yard");
    assertThat(alone.formerName(Optional.of(first))).isEmpty();
    IngestSession renamed = IngestSession.now("opercle-b", Optional.of("shed"), Optional.of(first));
    assertThat(renamed.shares()).containsExactly("shed");
    assertThat(renamed.formerName(Optional.of(first))).contains("opercle-a");
  }

  @Test
  void fileThatCannotBeRead_isAsNone() throws IOException {
    Files.writeString(folder.resolve("ingest-session.json"), "{\"clientId\":");
    assertThat(IngestSession.noted(folder)).isEmpty();
    Files.writeString(folder.resolve("ingest-session.json"), "{}");
    assertThat(IngestSession.noted(folder)).isEmpty();
  }

  @Test
  void ingestUnderAnotherName_takesBackWhatItSaidUnderTheOldOne() throws IOException {
    Files.createDirectories(folder.resolve("data"));
    Files.writeString(
        folder.resolve("farm.yaml"),
        """
        farm: Sallowmere
        tanks:
          - id: h1
            kind: holding
            waterLitres: 1500
            supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }
        """);
    Topics topics = new Topics("Sallowmere");
    Set<String> standing = new ConcurrentSkipListSet<>();
    try (RunningParts parts = new RunningParts()) {
      EmbeddedBroker broker = parts.add(EmbeddedBroker.start(folder.resolve("broker"), 0));
      MqttSettings settings = MqttSettings.of(broker.uri(), "opercle-new");
      Path file =
          Files.writeString(
              folder.resolve("opercle.yaml"),
              "farm: farm.yaml\ndataFolder: data\nmqtt: { broker: \"%s\", clientId: opercle-new }\n"
                  .formatted(broker.uri()));
      Configuration c = ConfigurationReader.read(file);
      MqttLink earlier = parts.add(MqttLink.open(MqttSettings.of(broker.uri(), "earlier")));
      await().atMost(PATIENCE).until(() -> earlier.state().connected());
      earlier
          .offer(topics.ingest("opercle-old"), Services.bytes("{\"status\":\"offline\"}"), 1, true)
          .join();
      parts.add(
          TopicListener.open(
              MqttSettings.of(broker.uri(), "watch"),
              List.of(topics.ingestFilter()),
              message -> {
                if (message.payload().length > 0) {
                  standing.add(message.topic());
                } else {
                  standing.remove(message.topic());
                }
              }));
      await().atMost(PATIENCE).until(() -> standing.contains(topics.ingest("opercle-old")));

      Optional<IngestSession> before = Optional.of(new IngestSession("opercle-old", Set.of()));
      IngestSession now = IngestSession.now("opercle-new", Optional.empty(), before);
      SensorSubscriber subscriber =
          parts.add(
              SensorSubscriber.builder(settings, new PayloadDecoder(tank -> true, List.of()))
                  .start());
      new ServicesApart(parts, c, InstantSource.system())
          .ingestStatus(
              settings,
              before,
              now,
              new Intake(subscriber, new KeptLeg(List::of)),
              Optional.empty());
      await()
          .atMost(PATIENCE)
          .untilAsserted(() -> assertThat(standing).containsExactly(topics.ingest("opercle-new")));
      await().atMost(PATIENCE).until(() -> IngestSession.noted(c.dataFolder()).isPresent());
      assertThat(IngestSession.noted(c.dataFolder())).contains(now);
    }
  }
}
