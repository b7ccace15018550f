// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.net.URI;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.List;
import opercle.analysis.monitor.MonitorTrouble;
import opercle.analysis.monitor.TroubleKey;
import opercle.analysis.monitor.TroubleKind;
import opercle.analysis.publish.Topics;
import opercle.ingest.mqtt.EmbeddedBroker;
import opercle.ingest.mqtt.MqttLink;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.mqtt.TopicListener;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What an ingest of its own says of itself, as the watch hears it over a broker. */
class IngestStatusTest {

  private static final Duration PATIENCE = Duration.ofSeconds(30);
  private static final InstantSource CLOCK =
      InstantSource.fixed(Instant.parse("2026-03-14T02:00:00Z"));
  private static final Topics TOPICS = new Topics("Sallowmere");
  private static final MonitorTrouble AWAY =
      new MonitorTrouble(
          TroubleKey.of(TroubleKind.DATABASE_AWAY), Instant.EPOCH, "InfluxDB takes no readings.");

  @TempDir Path folder;

  private static void awaitTold(HeardIngests heard, String... words) {
    await()
        .atMost(PATIENCE)
        .untilAsserted(() -> assertThat(heard.look(0).values()).containsExactlyInAnyOrder(words));
  }

  private static MqttLink link(URI broker, String topic) {
    MqttLink link =
        MqttLink.open(MqttSettings.of(broker, "ingest"), IngestStatus.will(topic, CLOCK));
    await().atMost(PATIENCE).until(() -> link.state().connected());
    return link;
  }

  @Test
  void troubleOfAnIngest_isToldByTheWatch_untilItIsOver_andSoIsItsAbsence() {
    HeardIngests heard = new HeardIngests();
    String topic = TOPICS.ingest("opercle-a");
    try (EmbeddedBroker broker = EmbeddedBroker.start(folder, 0);
        TopicListener watch =
            TopicListener.open(
                MqttSettings.of(broker.uri(), "watch"),
                List.of(TOPICS.ingestFilter()),
                heard::heard);
        MqttLink link = link(broker.uri(), topic);
        MqttLink second = MqttLink.open(MqttSettings.of(broker.uri(), "second"))) {
      await().atMost(PATIENCE).until(() -> watch.linkState().connected());
      IngestStatus status = IngestStatus.on(topic, CLOCK, link);

      status.looked(List.of(), List.of(AWAY));
      awaitTold(heard, "The service ingest says: InfluxDB takes no readings.");
      assertThat(heard.look(0).keySet())
          .extracting(TroubleKey::id)
          .containsExactly("intake-trouble-opercle-a-database-away");

      status.looked(List.of(), List.of());
      awaitTold(heard);

      status.farewell();
      awaitTold(
          heard,
          "The service ingest is not there: readings wait at the hub that probes send to, and are not stored.");
      IngestStatus.on(TOPICS.ingest("opercle-b"), CLOCK, second).looked(List.of(), List.of(AWAY));
      awaitTold(
          heard,
          "The service ingest \"opercle-a\" is not there: readings wait at the hub that probes send to, and are not stored.",
          "The service ingest \"opercle-b\" says: InfluxDB takes no readings.");
    }
  }

  @Test
  void lastWill_saysThatItIsNotThere_andAnEmptyMessageForgetsIt() {
    HeardIngests heard = new HeardIngests();
    String topic = TOPICS.ingest("opercle");
    heard.heard(new TopicListener.Message(topic, IngestStatus.will(topic, CLOCK).payload(), true));
    assertThat(heard.look(0)).hasSize(1);
    assertThat(heard.none().look(0)).isEmpty();

    byte[] online = Services.bytes("{\"status\":\"online\"}");
    heard.heard(new TopicListener.Message(topic, online, true));
    assertThat(heard.look(0)).isEmpty();
    assertThat(heard.none().look(0).values())
        .singleElement()
        .asString()
        .startsWith("A service ingest takes in the readings too");

    heard.heard(new TopicListener.Message(topic, new byte[0], false));
    assertThat(heard.look(0)).isEmpty();
    heard.heard(new TopicListener.Message(topic, Services.bytes("{\"status\":"), true));
    heard.heard(new TopicListener.Message(topic, Services.bytes("[1]"), true));
    assertThat(heard.look(0)).isEmpty();
  }

  @Test
  void pagesElsewhere_showTheWatchsTroubles_withWhatToDo() {
    HeardTroubles heard = new HeardTroubles();
    String topic = TOPICS.monitorTrouble(AWAY.key().id());
    byte[] payload = Services.bytes(TroubleTeller.json(AWAY));

    heard.heard(new TopicListener.Message(topic, payload, true));
    assertThat(heard.standing())
        .singleElement()
        .satisfies(
            t -> {
              assertThat(t.words()).isEqualTo(AWAY.words());
              assertThat(t.action()).isEqualTo(AWAY.action());
            });
    heard.heard(new TopicListener.Message(topic, new byte[0], false));
    assertThat(heard.standing()).isEmpty();
  }
}
