// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.mqtt.TopicListener;
import org.junit.jupiter.api.Test;

/** What a newcomer sees: the demo, its page, and the alarm on the page, on MQTT and in the log. */
class DemoIT {

  private static final String ALARM = "opercle/Sallowmere/tank/t1/alarm/gas-line-stopped";

  private final ObjectMapper json = new ObjectMapper();

  @Test
  void demo_gasLineFails_isToldOnThePageOnMqttAndInTheLog() throws Exception {
    try (OpercleProcess demo =
        OpercleProcess.start("demo", "--port", "0", "--mqtt-port", "0", "--speed", "10")) {
      URI pages = demo.pages();
      URI broker = URI.create(demo.awaitLine("publish to (tcp://[^;]+);").group(1));
      assertThat(demo.get(pages.resolve("/"))).contains("<html");

      Map<String, String> heard = new ConcurrentHashMap<>();
      try (TopicListener listener =
          TopicListener.open(
              MqttSettings.of(broker, "demo-test"),
              List.of("opercle/#"),
              m -> heard.put(m.topic(), new String(m.payload(), StandardCharsets.UTF_8)))) {
        await().atMost(Duration.ofSeconds(30)).until(() -> listener.linkState().connected());
        demo.awaitLine("high raised t1 gas-line-stopped: Trailer tank: no gas flow");
        await().atMost(Duration.ofSeconds(20)).until(() -> heard.containsKey(ALARM));
        JsonNode event = json.readTree(heard.get(ALARM));
        assertThat(event.path("event").asText()).isEqualTo("raised");
        assertThat(event.path("priority").asText()).isEqualTo("high");
        assertThat(event.path("timeInHandMinutes").asDouble()).isBetween(1.0, 120.0);
        assertThat(heard.get("opercle/Sallowmere/monitor")).contains("online");
        assertThat(heard).containsKey("opercle/Sallowmere/tank/h1/state");
        await()
            .atMost(Duration.ofSeconds(30))
            .until(() -> stateOfAlarm(demo, pages).equals("unacknowledged"));

        int status =
            demo.post(
                pages.resolve("/api/v1/tanks/t1/alarms/gas-line-stopped/acknowledge"),
                "{\"by\":\"Robin\"}");

        assertThat(status).isBetween(200, 204);
        await()
            .atMost(Duration.ofSeconds(30))
            .untilAsserted(
                () -> assertThat(heard.get(ALARM)).contains("\"event\":\"acknowledged\""));
        await()
            .atMost(Duration.ofSeconds(30))
            .until(() -> stateOfAlarm(demo, pages).equals("acknowledged"));
      }
      assertThat(demo.lines()).noneMatch(l -> l.contains("ERROR"));
    }
  }

  private String stateOfAlarm(OpercleProcess demo, URI pages) throws Exception {
    for (JsonNode tank : json.readTree(demo.get(pages.resolve("/api/v1/tanks"))).path("tanks")) {
      for (JsonNode alarm : tank.path("state").path("alarms")) {
        if (alarm.path("cause").asText().equals("gas-line-stopped")) {
          return alarm.path("state").asText();
        }
      }
    }
    return "";
  }
}
