// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.net.URI;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicLong;
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

  private static final Optional<String> INTO = Optional.of("opercle");

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
    HeardIngests heard = new HeardIngests(ZoneOffset.UTC);
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
      IngestStatus status = IngestStatus.on(topic, CLOCK, link, INTO);

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
      IngestStatus.on(TOPICS.ingest("opercle-b"), CLOCK, second, INTO)
          .looked(List.of(), List.of(AWAY));
      awaitTold(
          heard,
          "The service ingest \"opercle-a\" is not there: readings wait at the hub that probes send to, and are not stored.",
          "The service ingest \"opercle-b\" says: InfluxDB takes no readings.");
    }
  }

  @Test
  void lastWill_saysThatItIsNotThere_andAnEmptyMessageForgetsIt() {
    HeardIngests heard = new HeardIngests(ZoneOffset.UTC);
    String topic = TOPICS.ingest("opercle");
    heard.heard(new TopicListener.Message(topic, IngestStatus.will(topic, CLOCK).payload(), true));
    assertThat(heard.look(0)).hasSize(1);
    assertThat(heard.noneInto("opercle").look(0)).isEmpty();

    byte[] online = Services.bytes("{\"status\":\"online\"}");
    heard.heard(new TopicListener.Message(topic, online, true));
    assertThat(heard.look(0)).isEmpty();
    assertThat(heard.noneInto("opercle").look(0).values())
        .singleElement()
        .asString()
        .startsWith("A service ingest takes in the readings too");

    heard.heard(new TopicListener.Message(topic, new byte[0], false));
    assertThat(heard.look(0)).isEmpty();
    heard.heard(new TopicListener.Message(topic, Services.bytes("{\"status\":"), true));
    heard.heard(new TopicListener.Message(topic, Services.bytes("[1]"), true));
    assertThat(heard.look(0)).isEmpty();
  }

  private static TopicListener.Message online(String client, String more) {
    String json = "{\"status\":\"online\",\"time\":\"2026-03-14T01:58:30.000Z\"%s}".formatted(more);
    return new TopicListener.Message(TOPICS.ingest(client), Services.bytes(json), true);
  }

  private static long minutes(long minutes) {
    return TimeUnit.MINUTES.toNanos(minutes);
  }

  @Test
  void oneThatDiedWithItsBroker_isToldAsSilent_whateverTheBrokerGoesOnHandingOut() {
    HeardIngests heard = new HeardIngests(ZoneOffset.UTC);
    AtomicBoolean hears = new AtomicBoolean(true);
    heard.hearsWhile(hears::get);
    heard.heard(online("opercle", ",\"everySeconds\":20"));
    assertThat(heard.look(minutes(10))).as("heard just now").isEmpty();
    assertThat(heard.look(minutes(11))).isEmpty();
    assertThat(heard.look(minutes(12)).values())
        .containsExactly(
            "The service ingest has not been heard from since 14 Mar 2026, 01:58: readings may not be stored.");

    heard.heard(online("opercle", ",\"everySeconds\":20"));
    assertThat(heard.look(minutes(13))).as("the kept word again, after a reconnect").hasSize(1);
    hears.set(false);
    assertThat(heard.look(minutes(14))).as("cut off itself").hasSize(1);
    hears.set(true);
    assertThat(heard.look(minutes(15))).hasSize(1);
    heard.heard(online("opercle", ",\"everySeconds\":20,\"troubles\":[]"));
    assertThat(heard.look(minutes(16))).as("a word of its own").isEmpty();
  }

  /** After a restart of the watch it is found again before what was told counts as over. */
  @Test
  void silence_isFoundSoonerThanATroubleCountsAsOver() {
    HeardIngests heard = new HeardIngests(ZoneOffset.UTC);
    heard.heard(online("opercle", ",\"everySeconds\":" + IngestStatus.EVERY.toSeconds()));
    assertThat(heard.look(0)).isEmpty();
    assertThat(heard.look(TimeUnit.SECONDS.toNanos(75))).hasSize(1);
  }

  @Test
  void silence_isNobodysWhileTheWatchIsCutOff_norOfOneThatNeverSaysHowOftenItSpeaks() {
    HeardIngests heard = new HeardIngests(ZoneOffset.UTC);
    AtomicBoolean hears = new AtomicBoolean(true);
    heard.hearsWhile(hears::get);
    heard.heard(online("opercle-a", ",\"everySeconds\":20"));
    heard.heard(online("opercle-old", ""));
    assertThat(heard.look(0)).isEmpty();
    hears.set(false);
    assertThat(heard.look(minutes(60))).isEmpty();
    hears.set(true);
    assertThat(heard.look(minutes(61))).isEmpty();
    assertThat(heard.look(minutes(62)).keySet())
        .extracting(TroubleKey::id)
        .containsExactly("intake-trouble-opercle-a");
  }

  @Test
  void oneBesideServe_isToldOnlyIfItWritesToTheSameInfluxDb_andIsThere() {
    HeardIngests heard = new HeardIngests(ZoneOffset.UTC);
    heard.heard(online("file", ",\"everySeconds\":20,\"store\":\"file\""));
    heard.heard(online("other", ",\"everySeconds\":20,\"store\":\"influxdb\",\"bucket\":\"b\""));
    heard.heard(online("same", ",\"everySeconds\":20,\"store\":\"influxdb\",\"bucket\":\"a\""));
    assertThat(heard.noneInto("a").look(0).keySet())
        .extracting(TroubleKey::id)
        .containsExactly("intake-trouble-same");
    assertThat(heard.noneInto("a").look(minutes(5))).as("long gone").isEmpty();
  }

  @Test
  void moreThanAHundred_theFirstStayLookedAfter() {
    HeardIngests heard = new HeardIngests(ZoneOffset.UTC);
    for (int i = 0; i < 102; i++) {
      heard.heard(online("a" + i, ",\"everySeconds\":20"));
    }
    assertThat(heard.look(0)).isEmpty();
    assertThat(heard.look(minutes(10)).keySet())
        .hasSize(100)
        .extracting(TroubleKey::id)
        .contains("intake-trouble-a0", "intake-trouble-a99")
        .doesNotContain("intake-trouble-a100");
  }

  @Test
  void statusIsSaidAnewEveryTwentySeconds_withItsTime() {
    List<String> said = new CopyOnWriteArrayList<>();
    AtomicLong seconds = new AtomicLong();
    String topic = TOPICS.ingest("opercle");
    try (EmbeddedBroker broker = EmbeddedBroker.start(folder, 0);
        TopicListener watch =
            TopicListener.open(
                MqttSettings.of(broker.uri(), "watch"),
                List.of(topic),
                message -> said.add(new String(message.payload(), UTF_8)));
        MqttLink link = link(broker.uri(), topic)) {
      await().atMost(PATIENCE).until(() -> watch.linkState().connected());
      IngestStatus status =
          IngestStatus.on(topic, () -> CLOCK.instant().plusSeconds(seconds.get()), link, INTO);
      status.looked(List.of(), List.of());
      seconds.addAndGet(19);
      status.looked(List.of(), List.of());
      seconds.addAndGet(1);
      status.looked(List.of(), List.of());
      seconds.addAndGet(-1800); // the clock is put back
      status.looked(List.of(), List.of());
      status.farewell();
      await().atMost(PATIENCE).until(() -> said.size() >= 4);
      assertThat(said).hasSize(4);
      assertThat(said.get(0))
          .contains("\"online\"", "02:00:00", "\"everySeconds\":20", "\"bucket\":\"opercle\"");
      assertThat(said.get(1)).contains("\"online\"", "02:00:20");
      assertThat(said.get(2)).contains("\"online\"", "01:30:20");
      assertThat(said.get(3)).contains("\"offline\"");
    }
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
