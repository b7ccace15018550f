// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import opercle.ingest.mqtt.LocalMosquitto;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Kills {@code serve} while an alarm stands in each of the standards' states: one tank for each.
 * What stood stands as it stood, and nobody is called for what they have been told.
 */
class KilledWithAnAlarmIT {

  private static final String GAS = "gas-line-stopped";
  private static final String LOW = "oxygen-low";
  private static final int KILLS = 3;

  /** Two tanks at one blower, of which one speaks for the other; the rest has its own. */
  private static final String[] TANKS = {
    "pair-1", "pair-2", "had", "aside", "away", "back", "back-had", "low"
  };

  /** What identifies a state of an alarm to whoever looks: none of it may change in a kill. */
  private static final List<String> LASTING =
      List.of("state", "priority", "since", "acknowledgedBy", "by", "until", "root", "tanks");

  @TempDir Path folder;

  private PulledLinks farm;

  @BeforeEach
  void describeTheFarm() throws IOException {
    StringBuilder yaml = new StringBuilder("farm: Sallowmere\ntanks:\n");
    for (String tank : TANKS) {
      String blower = tank.startsWith("pair") ? ", sharedSource: shed blower" : "";
      yaml.append(
          """
            - id: %1$s
              name: Tank %1$s
              kind: holding
              waterLitres: 1500
              supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45%2$s }
              load: { species: tench, kg: 55, count: 70 }
          """
              .formatted(tank, blower));
    }
    farm = new PulledLinks(folder, yaml.toString());
  }

  @AfterEach
  void stop() throws IOException {
    farm.close();
  }

  @Test
  void serve_killedWithAnAlarmInEachState() throws Exception {
    try (LocalMosquitto broker = LocalMosquitto.start(folder);
        PulledLinks.Ears ears = farm.new Ears(broker);
        PulledLinks.Probes probes = new PulledLinks.Probes(broker, TANKS)) {
      String config = farm.configuration(broker, folder.resolve("opercle-data"));
      OpercleProcess opercle = PulledLinks.serving(config, ears);
      bringAboutEachState(opercle, ears, probes);

      Map<String, String> stood = standing(ears);
      List<String> told = told(opercle);
      List<String> heard = raised(ears);
      Map<String, Long> called = callsOfTheSettled();
      assertThat(stood).hasSize(TANKS.length);
      for (int kill = 0; kill < KILLS; kill++) {
        opercle.kill();
        ears.page = farm.json.createObjectNode();
        OpercleProcess[] next = new OpercleProcess[1];
        farm.measure(
            "process killed (`kill -9`) with alarms in each of eight states, and started at once",
            "each stands as it stood, and readings are taken",
            () -> PulledLinks.run(() -> next[0] = PulledLinks.serving(config, ears)),
            () -> standing(ears).equals(stood) && ears.seesOxygen(TANKS));
        opercle = next[0];
      }
      assertThat(standing(ears)).isEqualTo(stood);
      assertThat(told(opercle)).as("the history has every event once").isEqualTo(told);
      assertThat(raised(ears)).as("the siren hears none again").isEqualTo(heard);
      opercle.close();
      assertThat(callsOfTheSettled())
          .as("nobody is called again for what somebody has, has put aside, or what is over")
          .isEqualTo(called);
      assertThat(farm.receiver.begun).as("no call went twice").doesNotHaveDuplicates();
    }
  }

  private void bringAboutEachState(
      OpercleProcess opercle, PulledLinks.Ears ears, PulledLinks.Probes probes) throws Exception {
    await().atMost(PulledLinks.PATIENCE).until(() -> ears.seesOxygen(TANKS));
    for (String tank : TANKS) {
      probes.of(tank).flow = tank.equals("low") ? 45.0 : 0.0;
    }
    probes.of("low").oxygen = 5.5;
    for (String tank : TANKS) {
      await()
          .atMost(PulledLinks.PATIENCE)
          .until(() -> !ears.alarm(tank, cause(tank)).path("state").isMissingNode());
    }
    await().atMost(PulledLinks.PATIENCE).until(() -> callsToRaise("had") > 0);
    act(opercle, "had/alarms/" + GAS + "/acknowledge", "{\"by\":\"Robin\"}");
    act(opercle, "back-had/alarms/" + GAS + "/acknowledge", "{\"by\":\"Robin\"}");
    act(opercle, "aside/alarms/" + GAS + "/shelve", "{\"by\":\"Robin\",\"minutes\":20}");
    act(
        opercle,
        "away/out-of-service",
        "{\"by\":\"Robin\",\"reason\":\"new hose\",\"minutes\":120}");
    probes.of("back").flow = 45.0;
    probes.of("back-had").flow = 45.0;
    probes.of("low").oxygen = 9.0;
    Map<String, String> wanted =
        Map.of(
            "had", "acknowledged",
            "aside", "shelved",
            "away", "out-of-service",
            "back", "latched-unacknowledged",
            "back-had", "latched-acknowledged",
            "low", "returned-unacknowledged");
    wanted.forEach(
        (tank, state) ->
            await(tank + " is " + state)
                .atMost(PulledLinks.PATIENCE)
                .until(() -> state.equals(state(ears, tank))));
    assertThat(List.of(state(ears, "pair-1"), state(ears, "pair-2")))
        .containsExactlyInAnyOrder("unacknowledged", "suppressed");
  }

  private static String cause(String tank) {
    return tank.equals("low") ? LOW : GAS;
  }

  private static String state(PulledLinks.Ears ears, String tank) {
    return ears.alarm(tank, cause(tank)).path("state").asText();
  }

  private static void act(OpercleProcess opercle, String what, String body) throws Exception {
    assertThat(opercle.post(opercle.pages().resolve("/api/v1/tanks/" + what), body))
        .as(what)
        .isEqualTo(204);
  }

  /** The lasting part of each tank's alarm, by tank; only of those that stand. */
  private static Map<String, String> standing(PulledLinks.Ears ears) {
    Map<String, String> standing = new LinkedHashMap<>();
    for (String tank : TANKS) {
      JsonNode alarm = ears.alarm(tank, cause(tank));
      if (!alarm.isEmpty()) {
        StringBuilder lasting = new StringBuilder();
        LASTING.forEach(field -> lasting.append(field).append('=').append(alarm.path(field)));
        standing.put(tank, lasting.toString());
      }
    }
    return standing;
  }

  /** The history of these alarms, but for what only says that less time is left. */
  private List<String> told(OpercleProcess opercle) throws Exception {
    List<String> told = new ArrayList<>();
    JsonNode kept = farm.json.readTree(opercle.get(opercle.pages().resolve("/api/v1/alarms")));
    for (JsonNode event : kept.path("events")) {
      String tank = event.path("tank").asText();
      if (event.path("cause").asText().equals(cause(tank))
          && !event.path("event").asText().equals("changed")) {
        told.add(event.path("time").asText() + " " + tank + " " + event.path("event").asText());
      }
    }
    return told;
  }

  private List<String> raised(PulledLinks.Ears ears) {
    return ears.events.stream()
        .filter(event -> event.path("event").asText().equals("raised"))
        .filter(event -> event.path("cause").asText().equals(cause(event.path("tank").asText())))
        .map(event -> event.path("tank").asText() + " " + event.path("time").asText())
        .toList();
  }

  /** How often somebody was called for each tank, but for the pair, which still calls. */
  private Map<String, Long> callsOfTheSettled() {
    Map<String, Long> calls = new LinkedHashMap<>();
    for (String tank : TANKS) {
      if (!tank.startsWith("pair")) {
        calls.put(tank, callsToRaise(tank));
      }
    }
    return calls;
  }

  private long callsToRaise(String tank) {
    return farm.receiver.bodies.stream()
        .filter(body -> body.contains("\"kind\":\"alarm\""))
        .filter(body -> body.contains("\"tank\":\"" + tank + "\""))
        .count();
  }
}
