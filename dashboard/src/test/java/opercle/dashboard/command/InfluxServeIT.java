// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.net.URI;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.Locale;
import opercle.ingest.mqtt.LocalMosquitto;
import opercle.ingest.store.LocalInflux;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The jar with a real InfluxDB: in one process, and apart. */
class InfluxServeIT {

  private static final Duration PATIENCE = Duration.ofSeconds(60);

  private final ObjectMapper json = new ObjectMapper();

  @TempDir Path folder;

  @BeforeEach
  void describeTheFarm() throws IOException {
    Files.writeString(
        folder.resolve("farm.yaml"),
        """
        farm: Sallowmere
        tanks:
          - id: h1
            name: Holding 1
            kind: holding
            waterLitres: 1500
            supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }
            load: { species: tench, kg: 55, count: 70 }
        """);
    Files.writeString(folder.resolve("token.txt"), LocalInflux.TOKEN + "\n");
  }

  private String configuration(String name, LocalMosquitto broker, LocalInflux influx)
      throws IOException {
    Path file = folder.resolve(name + ".yaml");
    Files.writeString(
        file,
        """
        farm: farm.yaml
        dataFolder: %s
        dashboard: { port: 0 }
        mqtt: { broker: "%s", clientId: %s }
        store:
          influxdb: { url: "%s", bucket: %s, tokenFile: token.txt }
        """
            .formatted(name + "-data", broker.uri(), name, influx.url(), LocalInflux.DATABASE));
    return file.toString();
  }

  /** Readings a second apart that end at a time, in one message. */
  private static void publish(LocalMosquitto broker, Instant last, int count, double mgPerL)
      throws Exception {
    StringBuilder pack =
        new StringBuilder(
            String.format(
                Locale.ROOT,
                "[{\"bt\":%.3f,\"bu\":\"mg/l\",\"v\":%.2f,\"t\":0}",
                last.toEpochMilli() / 1000.0,
                mgPerL));
    for (int i = 1; i < count; i++) {
      pack.append(String.format(Locale.ROOT, ",{\"v\":%.2f,\"t\":-%d}", mgPerL, i));
    }
    LocalMosquitto.publish(broker.uri(), "tanks/h1/oxygen", pack.append("]").toString());
  }

  private double lowest(OpercleProcess opercle, URI pages) throws Exception {
    JsonNode trace =
        json.readTree(
            opercle.get(pages.resolve("/api/v1/tanks/h1/trace?quantity=oxygen&points=600")));
    double lowest = Double.POSITIVE_INFINITY;
    for (JsonNode point : trace.path("probes").path(0).path("points")) {
      lowest = Math.min(lowest, point.get(1).asDouble());
    }
    return lowest;
  }

  @Test
  void influxKilled_watchAndPagesGoOn_andItIsSaid_andAllIsThereWhenItIsBack() throws Exception {
    try (LocalMosquitto broker = LocalMosquitto.start(folder);
        LocalInflux influx = LocalInflux.start(folder)) {
      String config = configuration("serve", broker, influx);
      try (OpercleProcess opercle = OpercleProcess.start("serve", "--config", config)) {
        URI pages = opercle.pages();
        opercle.awaitLine("Connected to the MQTT broker .* as serve-serve");
        Instant now = Instant.now().truncatedTo(ChronoUnit.SECONDS);
        publish(broker, now.minusSeconds(60), 60, 8.5);
        await().atMost(PATIENCE).until(() -> influx.points("opercle_reading") == 60);

        influx.kill();
        publish(broker, now, 60, 7.25);

        await().atMost(PATIENCE).until(() -> lowest(opercle, pages) == 7.25);
        opercle.awaitLine("readings wait on this machine's disk, as InfluxDB does not take them");
        await()
            .atMost(PATIENCE)
            .until(
                () ->
                    opercle
                        .get(pages.resolve("/api/v1/monitor"))
                        .contains("The database of readings takes none since"));
        opercle.kill();
      }
      influx.restart();
      try (OpercleProcess opercle = OpercleProcess.start("serve", "--config", config)) {
        URI pages = opercle.pages();
        await().atMost(PATIENCE).until(() -> influx.points("opercle_reading") == 120);
        assertThat(lowest(opercle, pages)).isEqualTo(7.25);
        assertThat(opercle.lines()).noneMatch(l -> l.contains(LocalInflux.TOKEN));
      }
    }
  }

  /** Each with a data folder of its own, as on three machines. */
  @Test
  void servicesApart_dashboardDrawsWhatIngestWrote() throws Exception {
    try (LocalMosquitto broker = LocalMosquitto.start(folder);
        LocalInflux influx = LocalInflux.start(folder);
        OpercleProcess ingest =
            OpercleProcess.start("ingest", "--config", configuration("in", broker, influx));
        OpercleProcess analyse =
            OpercleProcess.start("analyse", "--config", configuration("watch", broker, influx));
        OpercleProcess dashboard =
            OpercleProcess.start("dashboard", "--config", configuration("pages", broker, influx))) {
      ingest.awaitLine("Connected to the MQTT broker .* as in-ingest$");
      analyse.awaitLine("Connected to the MQTT broker .* as watch-analyse");
      URI pages = dashboard.pages();
      publish(broker, Instant.now().truncatedTo(ChronoUnit.SECONDS), 30, 6.75);

      await().atMost(PATIENCE).ignoreExceptions().until(() -> lowest(dashboard, pages) == 6.75);

      influx.kill();
      await()
          .atMost(PATIENCE)
          .untilAsserted(
              () ->
                  assertThat(dashboard.status(pages.resolve("/api/v1/tanks/h1/trace")))
                      .isEqualTo(503));
      assertThat(dashboard.status(pages.resolve("/tank/h1"))).isEqualTo(200);
    }
  }
}
