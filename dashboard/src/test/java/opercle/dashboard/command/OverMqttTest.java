// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatExceptionOfType;
import static org.awaitility.Awaitility.await;

import java.net.URI;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicReference;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import opercle.analysis.alarm.RefusedActException;
import opercle.analysis.farm.Farm;
import opercle.analysis.monitor.MonitorTrouble;
import opercle.analysis.monitor.TroubleKey;
import opercle.analysis.monitor.TroubleKind;
import opercle.analysis.publish.ActTopics;
import opercle.analysis.publish.Topics;
import opercle.analysis.publish.WatchJson;
import opercle.analysis.publish.WatchListener;
import opercle.analysis.watch.TankState;
import opercle.analysis.watch.TimeInHand;
import opercle.dashboard.web.NotPassedOnException;
import opercle.ingest.mqtt.EmbeddedBroker;
import opercle.ingest.mqtt.MqttLink;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.mqtt.TopicListener;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What the services say to each other over a broker, seen from the broker's side. */
class OverMqttTest {

  private static final Duration PATIENCE = Duration.ofSeconds(30);
  private static final Instant START = Instant.parse("2026-03-14T02:00:00Z");
  private static final String ALARM = "opercle/Sallowmere/tank/h1/alarm/oxygen-low";
  private static final String END = "end of the test";

  @TempDir static Path folder;
  private static EmbeddedBroker broker;

  private final Topics topics = new Topics("Sallowmere");
  private final AtomicReference<Instant> now = new AtomicReference<>(START);
  private final List<String> heard = new CopyOnWriteArrayList<>();
  private MqttLink link;
  private TopicListener listener;

  @BeforeAll
  static void startBroker() {
    broker = EmbeddedBroker.start(folder, 0);
  }

  @AfterAll
  static void stopBroker() {
    broker.close();
  }

  @BeforeEach
  void connect() {
    link = MqttLink.open(MqttSettings.of(broker.uri(), "over-mqtt-out"));
    listener =
        TopicListener.open(
            MqttSettings.of(broker.uri(), "over-mqtt-in"),
            List.of("opercle/#", END),
            m -> {
              if (!m.retained()) {
                heard.add(m.topic() + " " + new String(m.payload(), UTF_8));
              }
            });
    await().atMost(PATIENCE).until(() -> listener.linkState().connected());
    await().atMost(PATIENCE).until(() -> link.state().connected());
  }

  @AfterEach
  void disconnect() {
    link.close();
    listener.close();
  }

  /** Everything that the link was given before this has arrived when it returns. */
  private List<String> heardUntilNow() throws Exception {
    heard.remove(END + " ");
    link.publish(END, new byte[0], 1, false).get(30, TimeUnit.SECONDS);
    await().atMost(PATIENCE).until(() -> heard.contains(END + " "));
    return heard.stream().filter(h -> !h.startsWith(END)).toList();
  }

  private static TankState state(Instant time, OptionalDouble oxygen, Alarm... standing) {
    OptionalDouble none = OptionalDouble.empty();
    return new TankState(
        "h1",
        time,
        Optional.of(time),
        oxygen,
        none,
        none,
        none,
        none,
        none,
        new TimeInHand.Holding(),
        new TimeInHand.Unknown("no water temperature"),
        List.of(standing));
  }

  private static Alarm oxygenLow() {
    return new Alarm(
        "h1",
        AlarmCause.OXYGEN_LOW,
        Priority.HIGH,
        AlarmState.UNACKNOWLEDGED,
        START,
        Optional.empty(),
        "Holding 1: oxygen 4.0 mg/L.");
  }

  private StaleAlarms inheriting() {
    StaleAlarms stale = new StaleAlarms(topics, now::get, link);
    stale.heard(new TopicListener.Message(ALARM, "{}".getBytes(UTF_8), true));
    return stale;
  }

  @Test
  void inheritedAlarm_isTakenAwayOnlyWhenTwoMinutesHaveProvenItGone() throws Exception {
    StaleAlarms stale = inheriting();

    now.set(START.plusSeconds(119));
    stale.states(List.of(state(START, OptionalDouble.of(9.0))));
    assertThat(heardUntilNow()).isEmpty();

    now.set(START.plusSeconds(120));
    stale.states(List.of(state(START, OptionalDouble.empty())));
    assertThat(heardUntilNow()).as("no oxygen reading proves nothing").isEmpty();

    stale.states(List.of(state(START, OptionalDouble.of(9.0))));
    stale.states(List.of(state(START, OptionalDouble.of(9.0))));
    assertThat(heardUntilNow()).containsExactly(ALARM + " ");
  }

  @Test
  void inheritedAlarmThatStands_isLeftToTheAnnouncer() throws Exception {
    StaleAlarms stale = inheriting();
    now.set(START.plusSeconds(200));

    stale.states(List.of(state(START, OptionalDouble.of(4.0), oxygenLow())));
    stale.states(List.of(state(START, OptionalDouble.of(9.0))));

    assertThat(heardUntilNow()).isEmpty();
  }

  @Test
  void alarmOfThisRun_isNeverTakenForAnInheritedOne() throws Exception {
    StaleAlarms stale = new StaleAlarms(topics, now::get, link);
    stale.heard(new TopicListener.Message(ALARM, "{}".getBytes(UTF_8), false));
    stale.heard(new TopicListener.Message(ALARM, new byte[0], true));
    now.set(START.plusSeconds(200));

    stale.states(List.of(state(START, OptionalDouble.of(9.0))));

    assertThat(heardUntilNow()).isEmpty();
  }

  @Test
  void alarmThatStandsButThatTheBrokerHasLost_isPutBackOnce_asTheEventThatRaisedIt()
      throws Exception {
    StaleAlarms stale = new StaleAlarms(topics, now::get, link);
    now.set(START.plusSeconds(119));
    stale.states(List.of(state(START, OptionalDouble.of(4.0), oxygenLow())));
    assertThat(heardUntilNow()).isEmpty();
    now.set(START.plusSeconds(120));

    stale.states(List.of(state(START, OptionalDouble.of(4.0), oxygenLow())));
    stale.states(List.of(state(START, OptionalDouble.of(4.0), oxygenLow())));

    assertThat(heardUntilNow())
        .singleElement()
        .asString()
        .startsWith(ALARM + " {")
        .contains("\"event\":\"raised\"", "\"time\":\"2026-03-14T02:00:00.000Z\"");
  }

  @Test
  @SuppressWarnings("try") // the first broker ends before its time
  void brokerThatComesBackWithoutItsAlarms_isGivenThemAgain() throws Exception {
    EmbeddedBroker first = EmbeddedBroker.start(folder.resolve("first"), 0);
    int port = first.uri().getPort();
    try (var own = MqttLink.open(MqttSettings.of(first.uri(), "over-mqtt-own"))) {
      StaleAlarms stale = new StaleAlarms(topics, now::get, own);
      List<TankState> states = List.of(state(START, OptionalDouble.of(4.0), oxygenLow()));
      try (first) {
        await().atMost(PATIENCE).until(() -> own.state().connected());
        now.set(START.plusSeconds(120));
        stale.states(states);
        own.publish(END, new byte[0], 1, false).get(30, TimeUnit.SECONDS); // that one has it
      }
      await().atMost(PATIENCE).until(() -> !own.state().connected());
      stale.states(states);

      List<String> kept = new CopyOnWriteArrayList<>();
      try (var second = EmbeddedBroker.start(folder.resolve("second"), port)) {
        await().atMost(PATIENCE).until(() -> own.state().connected());
        stale.states(states);
        now.set(START.plusSeconds(140));
        stale.states(states);
        own.publish(END, new byte[0], 1, false).get(30, TimeUnit.SECONDS);
        try (var siren =
            TopicListener.open(
                MqttSettings.of(second.uri(), "siren"),
                List.of("opercle/#"),
                m -> kept.add(m.topic()))) {
          await().atMost(PATIENCE).until(() -> kept.contains(ALARM));
          assertThat(siren.linkState().connected()).isTrue();
        }
      }
    }
  }

  @Test
  void inheritedAlarmOfATankThatIsNoLongerDescribed_isTakenAway() throws Exception {
    StaleAlarms stale = inheriting();
    String gone = ALARM.replace("/h1/", "/h7/");
    stale.heard(new TopicListener.Message(gone, "{}".getBytes(UTF_8), true));
    stale.states(List.of(state(START, OptionalDouble.empty())));
    assertThat(heardUntilNow()).isEmpty();
    now.set(START.plusSeconds(200));

    stale.states(List.of(state(START, OptionalDouble.empty())));

    assertThat(heardUntilNow()).containsExactly(gone + " ");
  }

  @Test
  void monitor_saysOnlineOnceForEachConnectionAndOfflineAtTheEnd() throws Exception {
    MonitorStatus status = new MonitorStatus(topics, now::get);
    assertThat(status.will().topic()).isEqualTo("opercle/Sallowmere/monitor");
    assertThat(status.will().retained()).isTrue();
    assertThat(new String(status.will().payload(), UTF_8))
        .isEqualTo("{\"status\":\"offline\",\"startedAt\":\"2026-03-14T02:00:00.000Z\"}");
    WatchListener listening = status.on(link);
    now.set(START.plusSeconds(1));

    listening.states(List.of());
    listening.states(List.of());
    status.farewell(link);

    assertThat(heardUntilNow())
        .containsExactly(
            "opercle/Sallowmere/monitor {\"status\":\"online\",\"time\":\"2026-03-14T02:00:01.000Z\"}",
            "opercle/Sallowmere/monitor {\"status\":\"offline\",\"time\":\"2026-03-14T02:00:01.000Z\"}");
  }

  private static final MonitorTrouble STORE_FULL =
      new MonitorTrouble(
          TroubleKey.of(TroubleKind.STORE_UNWRITABLE), START, "Readings wait at the broker.");

  @Test
  void troubleOfTheMonitor_standsRetained_andDegradesTheStatus_untilItIsOver() throws Exception {
    MonitorStatus status = new MonitorStatus(topics, now::get);
    TroubleTeller teller = new TroubleTeller(topics, link, status);

    teller.looked(List.of(), List.of(STORE_FULL));
    teller.looked(List.of(), List.of(STORE_FULL));
    teller.looked(List.of(), List.of());

    String monitor = "opercle/Sallowmere/monitor";
    String time = "\"time\":\"2026-03-14T02:00:00.000Z\"}";
    assertThat(heardUntilNow())
        .containsExactly(
            monitor + " {\"status\":\"degraded\"," + time,
            monitor
                + "/trouble/store-unwritable {\"type\":\"trouble\",\"id\":\"store-unwritable\","
                + "\"priority\":\"high\",\"since\":\"2026-03-14T02:00:00.000Z\",\"message\":"
                + "\"Readings wait at the broker. Look at the fish; make room on the disk, or let"
                + " Opercle write to its data folder.\",\"words\":\"Readings wait at the broker.\","
                + "\"action\":\"Look at the fish; make room on the disk, or let"
                + " Opercle write to its data folder.\"}",
            monitor + " {\"status\":\"online\"," + time,
            monitor + "/trouble/store-unwritable ");
  }

  @Test
  void troubleThatTheBrokerKeptFromAnEarlierRun_isTakenAway() throws Exception {
    TroubleTeller teller = new TroubleTeller(topics, link, new MonitorStatus(topics, now::get));
    String topic = topics.monitorTrouble("part-stuck-watch");
    teller.heard(new TopicListener.Message(topic, "{}".getBytes(UTF_8), true));

    teller.looked(List.of(), List.of());

    assertThat(heardUntilNow()).contains(topic + " ");
  }

  @Test
  void remoteFarm_keepsWhatStandsButSaysThatTheWatchIsSilent() {
    RemoteFarm farm =
        new RemoteFarm(
            new HeardFarm(new Farm("Sallowmere", 0, List.of())),
            now::get,
            topics,
            link,
            PeopleCalled.morning(Optional.empty()));
    TankState told = state(START, OptionalDouble.of(4.0), oxygenLow());
    farm.heard(stateMessage(WatchJson.state(told)));
    farm.heard(stateMessage("offline"));
    farm.heard(stateMessage("{}"));
    farm.heard(stateMessage(""));

    assertThat(farm.states()).containsExactly(told);
    assertThat(farm.troubles()).isEmpty();

    now.set(START.plusSeconds(16));
    assertThat(farm.states()).containsExactly(told);
    assertThat(farm.troubles()).singleElement().asString().startsWith("The watch is silent.");
  }

  private TopicListener.Message stateMessage(String payload) {
    return new TopicListener.Message(topics.state("h1"), payload.getBytes(UTF_8), true);
  }

  /** A watch that answers each act so, over the broker. */
  private TopicListener watchThatAnswers(RemoteFarm farm, Optional<String> refusal) {
    TopicListener watch =
        TopicListener.open(
            MqttSettings.of(broker.uri(), "over-mqtt-watch"),
            List.of(ALARM + "/+", topics.answerFilter()),
            m -> {
              if (m.topic().startsWith(topics.answer(""))) {
                farm.heard(m);
                return;
              }
              String id = ActTopics.id(m.payload()).orElseThrow();
              var unused =
                  link.offer(
                      topics.answer(id),
                      new ActTopics.Answer(id, refusal).payload().getBytes(UTF_8),
                      1,
                      false);
            });
    await().atMost(PATIENCE).until(() -> watch.linkState().connected());
    return watch;
  }

  @Test
  void remoteFarm_sendsAcknowledgementsToTheWatch_andReturnsWhenItHasThem() throws Exception {
    RemoteFarm farm =
        new RemoteFarm(
            new HeardFarm(new Farm("Sallowmere", 0, List.of())),
            now::get,
            topics,
            link,
            PeopleCalled.morning(Optional.empty()));

    TopicListener watch = watchThatAnswers(farm, Optional.empty());
    try {
      farm.acknowledge("h1", AlarmCause.OXYGEN_LOW, "Robin");
    } finally {
      watch.close();
    }

    assertThat(heardUntilNow())
        .first()
        .asString()
        .startsWith(ALARM + "/acknowledge {\"id\":\"")
        .endsWith("\"by\":\"Robin\"}");
  }

  @Test
  void remoteFarm_saysWhyTheWatchRefuses() {
    RemoteFarm farm =
        new RemoteFarm(
            new HeardFarm(new Farm("Sallowmere", 0, List.of())),
            now::get,
            topics,
            link,
            PeopleCalled.morning(Optional.empty()));

    TopicListener watch = watchThatAnswers(farm, Optional.of("Nothing else watches this tank."));
    try {
      assertThatExceptionOfType(RefusedActException.class)
          .isThrownBy(() -> farm.acknowledge("h1", AlarmCause.OXYGEN_LOW, "Robin"))
          .withMessage("Nothing else watches this tank.");
    } finally {
      watch.close();
    }
  }

  @Test
  void remoteFarm_whoseWatchDoesNotAnswer_doesNotSayThatItIsDone() {
    RemoteFarm farm =
        new RemoteFarm(
            new HeardFarm(new Farm("Sallowmere", 0, List.of())),
            now::get,
            topics,
            link,
            PeopleCalled.morning(Optional.empty()));

    assertThatExceptionOfType(NotPassedOnException.class)
        .isThrownBy(() -> farm.acknowledge("h1", AlarmCause.OXYGEN_LOW, "Robin"))
        .withMessageContaining("it is not certain that the watch has this");
  }

  @Test
  void remoteFarm_whoseBrokerIsAway_doesNotSayThatItIsDone() {
    RemoteFarm farm =
        new RemoteFarm(
            new HeardFarm(new Farm("Sallowmere", 0, List.of())),
            now::get,
            topics,
            link,
            PeopleCalled.morning(Optional.empty()));
    link.close();

    assertThatExceptionOfType(NotPassedOnException.class)
        .isThrownBy(() -> farm.acknowledge("h1", AlarmCause.OXYGEN_LOW, "Robin"))
        .withMessageStartingWith("The watch does not have this: ")
        .withMessageEndingWith("Everything stands as before.");
  }

  @Test
  void remoteFarm_whoseBrokerIsAway_isNotReady() {
    try (MqttLink nowhere =
        MqttLink.open(MqttSettings.of(URI.create("tcp://127.0.0.1:9"), "nowhere"))) {
      RemoteFarm farm =
          new RemoteFarm(
              new HeardFarm(new Farm("Sallowmere", 0, List.of())),
              now::get,
              topics,
              nowhere,
              PeopleCalled.morning(Optional.empty()));

      await()
          .atMost(PATIENCE)
          .until(() -> farm.monitor().broker().stream().noneMatch(b -> b.well()));
    }
  }
}
