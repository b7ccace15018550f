// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import opercle.ingest.mqtt.LocalMosquitto;
import opercle.ingest.mqtt.MqttLink;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.store.LocalInflux;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Two {@code ingest} that take a farm's readings between them, beside a real Mosquitto. */
class SharedIngestIT {

  private static final Duration PATIENCE = Duration.ofSeconds(90);
  private static final int BATCH = 600;

  private final Instant start = Instant.now().truncatedTo(ChronoUnit.MINUTES).minusSeconds(1800);

  @TempDir Path folder;

  private String configuration(String name, LocalMosquitto broker, LocalInflux influx)
      throws IOException {
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
    Files.writeString(folder.resolve("token.txt"), LocalInflux.TOKEN + "\n");
    return Files.writeString(
            folder.resolve(name + ".yaml"),
            """
            farm: farm.yaml
            dataFolder: %s-data
            mqtt: { broker: "%s", clientId: %s }
            ingest: { share: yard }
            store:
              influxdb: { url: "%s", bucket: %s, tokenFile: token.txt }
            """
                .formatted(name, broker.uri(), name, influx.url(), LocalInflux.DATABASE))
        .toString();
  }

  /** Readings a second apart, one a message; all are acknowledged when it returns. */
  private void publish(MqttLink probes, int first) throws Exception {
    List<CompletableFuture<Void>> acknowledgements = new ArrayList<>();
    for (int s = first; s < first + BATCH; s++) {
      String pack =
          String.format(
              Locale.ROOT,
              "[{\"bt\":%d,\"u\":\"mg/l\",\"v\":8.5}]",
              start.plusSeconds(s).getEpochSecond());
      acknowledgements.add(probes.publish("tanks/h1/oxygen", pack.getBytes(UTF_8), 1, false));
    }
    CompletableFuture.allOf(acknowledgements.toArray(CompletableFuture[]::new))
        .get(60, TimeUnit.SECONDS);
  }

  private static OpercleProcess started(String config, String name) throws IOException {
    OpercleProcess ingest = OpercleProcess.start("ingest", "--config", config);
    ingest.awaitLine("Connected to the MQTT broker .* as " + name + "-ingest");
    return ingest;
  }

  private static long countedIn(LocalInflux influx, String where) throws Exception {
    String csv =
        influx.query(LocalInflux.DATABASE, "SELECT sum(\"count\") FROM opercle_minute" + where);
    String[] lines = csv.strip().split("\n", -1);
    return lines.length < 2
        ? 0
        : (long) Double.parseDouble(lines[1].substring(lines[1].lastIndexOf(',') + 1));
  }

  @Test
  void twoIngests_oneKilled_allReadingsAreThereOnce_andTheMinutesAreWhole() throws Exception {
    try (LocalMosquitto broker = LocalMosquitto.start(folder);
        LocalInflux influx = LocalInflux.start(folder);
        MqttLink probes = MqttLink.open(MqttSettings.of(broker.uri(), "probes"));
        OpercleProcess b = started(configuration("b", broker, influx), "b")) {
      String configOfA = configuration("a", broker, influx);
      OpercleProcess a = started(configOfA, "a");
      publish(probes, 0);
      await().atMost(PATIENCE).until(() -> influx.points("opercle_reading") == BATCH);
      await().atMost(PATIENCE).until(() -> countedIn(influx, "") == BATCH);
      assertThat(countedIn(influx, " WHERE \"part\" =~ /^a-/")).isBetween(1L, BATCH - 1L);
      assertThat(countedIn(influx, " WHERE \"part\" =~ /^b-/")).isBetween(1L, BATCH - 1L);

      a.kill();
      publish(probes, BATCH);
      // What the broker had given to the dead one it may keep for it; the other goes on.
      await().atMost(PATIENCE).until(() -> influx.points("opercle_reading") > BATCH);
      a = started(configOfA, "a");
      await().atMost(PATIENCE).until(() -> influx.points("opercle_reading") == 2 * BATCH);
      await().atMost(PATIENCE).until(() -> countedIn(influx, "") == 2 * BATCH);
      a.close();
      assertThat(b.lines()).noneMatch(line -> line.contains(" ERROR "));
    }
  }
}
