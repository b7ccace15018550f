// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.atomic.AtomicReference;
import opercle.ingest.mqtt.LocalMosquitto;
import opercle.ingest.mqtt.MqttLink;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.mqtt.TopicListener;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * {@code serve} killed with {@code kill -9} while an alarm stands, as a client of the broker sees
 * it.
 */
class KilledServeIT {

  private static final Duration PATIENCE = Duration.ofSeconds(60);
  private static final String ALARM = "opercle/Sallowmere/tank/h1/alarm/oxygen-low";

  private final ObjectMapper json = new ObjectMapper();
  private final List<String> heard = new CopyOnWriteArrayList<>();

  @TempDir Path folder;

  private void describe(int tanks) throws IOException {
    StringBuilder yaml = new StringBuilder("farm: Sallowmere\ntanks:\n");
    for (int i = 1; i <= tanks; i++) {
      yaml.append(
          """
            - id: h%d
              kind: holding
              waterLitres: 1500
              supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }
              load: { species: tench, kg: 55, count: 70 }
          """
              .formatted(i));
    }
    Files.writeString(folder.resolve("farm.yaml"), yaml);
  }

  private String configuration(LocalMosquitto broker) throws IOException {
    Path config = folder.resolve("opercle.yaml");
    Files.writeString(
        config,
        "farm: farm.yaml\ndashboard: { port: 0 }\nmqtt: { broker: \"%s\" }\n"
            .formatted(broker.uri()));
    return config.toString();
  }

  @ParameterizedTest
  @ValueSource(strings = {"serve", "analyse"})
  void acknowledgedAlarm_standsAfterKillMinusNine_andIsNotRaisedAgain(String command)
      throws Exception {
    describe(1);
    AtomicReference<String> state = new AtomicReference<>("");
    try (LocalMosquitto broker = LocalMosquitto.start(folder);
        TopicListener listener =
            TopicListener.open(
                MqttSettings.of(broker.uri(), "siren"),
                List.of(ALARM),
                m -> heard.add(new String(m.payload(), UTF_8)));
        TopicListener states =
            TopicListener.open(
                MqttSettings.of(broker.uri(), "pages"),
                List.of("opercle/Sallowmere/tank/h1/state"),
                m -> state.set(new String(m.payload(), UTF_8)))) {
      await().atMost(PATIENCE).until(() -> listener.linkState().connected());
      await().atMost(PATIENCE).until(() -> states.linkState().connected());
      String config = configuration(broker);
      OpercleProcess first = OpercleProcess.start(command, "--config", config);
      first.awaitLine("Connected to the MQTT broker .* as opercle-" + command);
      first.awaitLine("Connected to the MQTT broker .* as opercle-acknowledge");
      oxygen(broker, "5.5");
      oxygen(broker, "5.5");
      await().atMost(PATIENCE).until(() -> events().contains("raised"));
      LocalMosquitto.publish(broker.uri(), ALARM + "/acknowledge", "{\"by\":\"Robin\"}");
      await().atMost(PATIENCE).until(() -> events().contains("acknowledged"));
      Path saved = folder.resolve("opercle-data/watch-alarms.json");
      await().atMost(PATIENCE).until(() -> Files.readString(saved).contains("\"untold\":[]"));

      first.kill();

      state.set("");
      try (OpercleProcess second = OpercleProcess.start(command, "--config", config)) {
        second.awaitLine("going on from what was saved \\d+ s ago: .* 1 standing alarms");
        second.awaitLine("Connected to the MQTT broker .* as opercle-" + command);
        await().atMost(PATIENCE).until(() -> !"".equals(state.get()));
        JsonNode alarm = json.readTree(state.get()).path("alarms").path(0);
        assertThat(alarm.path("state").asText()).isEqualTo("acknowledged");
        assertThat(alarm.path("acknowledgedBy").asText()).isEqualTo("Robin");
        assertThat(alarm.path("since").asText())
            .isEqualTo(json.readTree(heard.get(0)).path("time").asText());

        // It goes on being watched: oxygen below the critical floor is a new call.
        oxygen(broker, "5.5");
        oxygen(broker, "2.0");
        oxygen(broker, "2.0");
        await().atMost(PATIENCE).until(() -> events().contains("escalated"));
        assertThat(events()).containsExactly("raised", "acknowledged", "escalated");
      }
    }
  }

  /**
   * Killed at the first alarm that a client hears of forty that are due at once: afterwards the
   * client has heard of each, and what it heard twice was the same twice.
   */
  @Test
  void killedWhileAlarmsAreTold_everyAlarmArrives_andTwiceOnlyTheSame() throws Exception {
    describe(40);
    Map<String, Set<String>> raised = new ConcurrentHashMap<>();
    try (LocalMosquitto broker = LocalMosquitto.start(folder);
        TopicListener listener =
            TopicListener.open(
                MqttSettings.of(broker.uri(), "siren"),
                List.of("opercle/Sallowmere/tank/+/alarm/oxygen-low"),
                m ->
                    raised
                        .computeIfAbsent(m.topic(), t -> ConcurrentHashMap.newKeySet())
                        .add(new String(m.payload(), UTF_8)));
        MqttLink probes = MqttLink.open(MqttSettings.of(broker.uri(), "probes"))) {
      await().atMost(PATIENCE).until(() -> listener.linkState().connected());
      String config = configuration(broker);
      OpercleProcess first = OpercleProcess.start("serve", "--config", config);
      first.awaitLine("Connected to the MQTT broker .* as opercle-serve");
      double now = Instant.now().toEpochMilli() / 1000.0;
      for (int reading = 0; reading < 2; reading++) {
        for (int tank = 1; tank <= 40; tank++) {
          String pack =
              String.format(Locale.ROOT, "[{\"bt\":%.3f,\"u\":\"mg/l\",\"v\":5.5}]", now + reading);
          probes.publish("tanks/h" + tank + "/oxygen", pack.getBytes(UTF_8), 1, false).get();
        }
      }
      await().pollInterval(Duration.ofMillis(2)).atMost(PATIENCE).until(() -> !raised.isEmpty());

      first.kill();

      int heardBefore = raised.size();
      try (OpercleProcess second = OpercleProcess.start("serve", "--config", config)) {
        second.awaitLine("Connected to the MQTT broker .* as opercle-serve");
        await("heard before the kill: " + heardBefore)
            .atMost(PATIENCE)
            .until(() -> raised.size() == 40);
        raised.forEach(
            (topic, payloads) ->
                assertThat(payloads)
                    .as(topic)
                    .hasSize(1)
                    .first()
                    .asString()
                    .contains("\"event\":\"raised\""));
      }
    }
  }

  private static void oxygen(LocalMosquitto broker, String mgPerL) throws Exception {
    LocalMosquitto.publish(broker.uri(), "tanks/h1/oxygen", mgPerL);
  }

  private List<String> events() throws IOException {
    List<String> events = new ArrayList<>();
    for (String payload : heard) {
      events.add(json.readTree(payload).path("event").asText());
    }
    return events;
  }
}
