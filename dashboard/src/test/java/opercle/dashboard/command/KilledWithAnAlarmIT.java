// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import opercle.ingest.mqtt.LocalMosquitto;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Kills {@code serve} in each state of an alarm. */
class KilledWithAnAlarmIT {

  @TempDir Path folder;

  private PulledLinks farm;

  @BeforeEach
  void describeTheFarm() throws IOException {
    farm = new PulledLinks(folder);
  }

  @AfterEach
  void stop() throws IOException {
    farm.close();
  }

  /** In each state, what stood stands again, and the history has every event once. */
  @Test
  void serve_killedInEachStateOfAnAlarm() throws Exception {
    try (LocalMosquitto broker = LocalMosquitto.start(folder);
        PulledLinks.Ears ears = farm.new Ears(broker);
        PulledLinks.Probes probes = new PulledLinks.Probes(broker)) {
      String config = farm.configuration(broker, folder.resolve("opercle-data"));
      OpercleProcess opercle = PulledLinks.serving(config, ears);
      await().atMost(PulledLinks.PATIENCE).until(ears::seesOxygen);
      probes.oxygen = 5.5;
      await().atMost(PulledLinks.PATIENCE).until(() -> ears.heard("oxygen-low", "raised"));
      opercle = killedAndStanding(opercle, config, ears, "oxygen-low", "unacknowledged");

      assertThat(
              opercle.post(
                  opercle.pages().resolve("/api/v1/tanks/h1/alarms/oxygen-low/acknowledge"),
                  "{\"by\":\"Robin\"}"))
          .isEqualTo(204);
      opercle = killedAndStanding(opercle, config, ears, "oxygen-low", "acknowledged");

      probes.oxygen = 9.0;
      await().atMost(PulledLinks.PATIENCE).until(() -> ears.heard("oxygen-low", "cleared"));
      probes.oxygen = 5.5;
      await().atMost(PulledLinks.PATIENCE).until(() -> raisedTwice(ears));
      probes.oxygen = 9.0;
      await()
          .atMost(PulledLinks.PATIENCE)
          .until(() -> state(ears, "oxygen-low").equals("returned-unacknowledged"));
      opercle = killedAndStanding(opercle, config, ears, "oxygen-low", "returned-unacknowledged");

      List<String> told = new ArrayList<>();
      JsonNode kept = farm.json.readTree(opercle.get(opercle.pages().resolve("/api/v1/alarms")));
      for (JsonNode event : kept.path("events")) {
        if (event.path("cause").asText().equals("oxygen-low")) {
          told.add(0, event.path("event").asText());
        }
      }
      opercle.close();
      assertThat(told)
          .filteredOn(event -> !event.equals("changed"))
          .containsExactly("raised", "acknowledged", "cleared", "raised", "cleared");
    }
  }

  private static boolean raisedTwice(PulledLinks.Ears ears) {
    return ears.events.stream()
            .filter(
                e ->
                    e.path("cause").asText().equals("oxygen-low")
                        && e.path("event").asText().equals("raised"))
            .map(e -> e.path("time").asText())
            .distinct()
            .count()
        == 2;
  }

  private static String state(PulledLinks.Ears ears, String cause) {
    return ears.alarm(cause).path("state").asText();
  }

  private OpercleProcess killedAndStanding(
      OpercleProcess opercle, String config, PulledLinks.Ears ears, String cause, String state)
      throws Exception {
    await().atMost(PulledLinks.PATIENCE).until(() -> state(ears, cause).equals(state));
    String since = ears.alarm(cause).path("since").asText();
    opercle.kill();
    ears.page = farm.json.createObjectNode();
    OpercleProcess[] next = new OpercleProcess[1];
    farm.measure(
        "process killed with an alarm " + state + ", and started at once",
        "the alarm stands as it stood, and readings are taken",
        () -> PulledLinks.run(() -> next[0] = PulledLinks.serving(config, ears)),
        () -> state(ears, cause).equals(state) && ears.seesOxygen());
    assertThat(ears.alarm(cause).path("since").asText()).isEqualTo(since);
    return next[0];
  }
}
