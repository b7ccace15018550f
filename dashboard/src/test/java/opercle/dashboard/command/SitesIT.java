// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Set;
import java.util.concurrent.ConcurrentSkipListSet;
import opercle.ingest.mqtt.LocalMosquitto;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.mqtt.TopicListener;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Two {@code analyse} at one broker, each for a site. */
class SitesIT {

  private static final Duration PATIENCE = Duration.ofSeconds(90);

  @TempDir Path folder;

  private String configuration(LocalMosquitto broker) throws IOException {
    StringBuilder farm = new StringBuilder("farm: Sallowmere\ntanks:\n");
    for (String tank : List.of("n1", "n2", "s1")) {
      farm.append(
          """
            - id: %s
              kind: holding
              waterLitres: 1500
              supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }
              load: { species: tench, kg: 55, count: 70 }
          """
              .formatted(tank));
    }
    Files.writeString(folder.resolve("farm.yaml"), farm);
    return Files.writeString(
            folder.resolve("opercle.yaml"),
            """
            farm: farm.yaml
            mqtt: { broker: "%s" }
            mappings:
              - { topic: south/+/water, tank: s1, quantity: oxygen, value: /do }
            sites:
              - { name: North, topics: "tanks/n1/#, tanks/n2/#" }
              - { name: South, topics: "tanks/s1/#, south/#" }
            """
                .formatted(broker.uri()))
        .toString();
  }

  @Test
  void twoSites_eachTankIsJudgedByExactlyOne() throws Exception {
    try (LocalMosquitto broker = LocalMosquitto.start(folder)) {
      String config = configuration(broker);
      Set<String> stated = new ConcurrentSkipListSet<>();
      Set<String> alarms = new ConcurrentSkipListSet<>();
      try (TopicListener states =
              TopicListener.open(
                  MqttSettings.of(broker.uri(), "states"),
                  List.of("opercle/+/tank/+/state"),
                  m -> {
                    if (new String(m.payload(), UTF_8).contains("oxygenMgPerL")) {
                      stated.add(m.topic());
                    }
                  });
          TopicListener siren =
              TopicListener.open(
                  MqttSettings.of(broker.uri(), "siren"),
                  List.of("opercle/+/tank/+/alarm/+"),
                  m -> alarms.add(m.topic()));
          OpercleProcess north =
              OpercleProcess.start("analyse", "--config", config, "--site", "North");
          OpercleProcess south =
              OpercleProcess.start("analyse", "--config", config, "--site", "South")) {
        await().atMost(PATIENCE).until(() -> states.linkState().connected());
        await().atMost(PATIENCE).until(() -> siren.linkState().connected());
        north.awaitLine("Connected to the MQTT broker .* as opercle-North-analyse");
        south.awaitLine("Connected to the MQTT broker .* as opercle-South-analyse");
        for (String value : List.of("1.5", "1.4")) { // one low reading alone is not believed
          LocalMosquitto.publish(broker.uri(), "tanks/n1/oxygen", value);
          LocalMosquitto.publish(broker.uri(), "tanks/n2/oxygen", value);
          LocalMosquitto.publish(broker.uri(), "south/3/water", "{\"do\":%s}".formatted(value));
        }
        await()
            .atMost(PATIENCE)
            .untilAsserted(
                () ->
                    assertThat(stated)
                        .containsExactly(
                            "opercle/North/tank/n1/state",
                            "opercle/North/tank/n2/state",
                            "opercle/South/tank/s1/state"));
        await()
            .atMost(PATIENCE)
            .untilAsserted(
                () ->
                    assertThat(alarms)
                        .containsExactly(
                            "opercle/North/tank/n1/alarm/oxygen-low",
                            "opercle/North/tank/n2/alarm/oxygen-low",
                            "opercle/South/tank/s1/alarm/oxygen-low"));
      }
      OpercleProcess.Outcome none = OpercleProcess.run(folder, "analyse", "--config", config);
      assertThat(none.exitCode()).isEqualTo(2);
      assertThat(none.err()).contains("say which with --site", "North", "South");
    }
  }
}
