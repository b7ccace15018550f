// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ConcurrentSkipListSet;
import opercle.ingest.mqtt.LocalMosquitto;
import opercle.ingest.mqtt.MqttLink;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import opercle.ingest.store.SqliteReadings;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Real probes: the jar with its own broker, beside a real one, and killed in the middle. */
class ServeIT {

  private static final Duration PATIENCE = Duration.ofSeconds(30);

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
          - id: h2
            kind: holding
            waterLitres: 1500
            supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }
        """);
  }

  private String configuration(String mqtt) throws IOException {
    Path file = folder.resolve("opercle.yaml");
    Files.writeString(file, "farm: farm.yaml\ndashboard: { port: 0 }\nmqtt: " + mqtt + "\n");
    return file.toString();
  }

  private String configuration(LocalMosquitto broker) throws IOException {
    return configuration("{ broker: \"tcp://127.0.0.1:%d\" }".formatted(broker.uri().getPort()));
  }

  private JsonNode tank(OpercleProcess opercle, URI pages, String id) throws Exception {
    for (JsonNode tank : json.readTree(opercle.get(pages.resolve("/api/v1/tanks"))).path("tanks")) {
      if (tank.path("id").asText().equals(id)) {
        return tank.path("state");
      }
    }
    throw new IllegalStateException("no tank " + id);
  }

  @Test
  void embeddedBroker_bareNumberAndSenmlFromARealPublisher_moveTheRightTank() throws Exception {
    try (OpercleProcess opercle =
        OpercleProcess.start("serve", "--config", configuration("{ port: 0 }"))) {
      String broker = opercle.awaitLine("probes publish to (tcp://[^,]+),").group(1);
      bareNumberAndSenmlMoveTheRightTank(opercle, URI.create(broker));
    }
  }

  @Test
  void realMosquitto_bareNumberAndSenml_moveTheRightTank() throws Exception {
    try (LocalMosquitto broker = LocalMosquitto.start(folder);
        OpercleProcess opercle = OpercleProcess.start("serve", "--config", configuration(broker))) {
      bareNumberAndSenmlMoveTheRightTank(opercle, broker.uri());
    }
  }

  private void bareNumberAndSenmlMoveTheRightTank(OpercleProcess opercle, URI broker)
      throws Exception {
    URI pages = opercle.pages();
    opercle.awaitLine("Connected to the MQTT broker .* as opercle-serve");

    LocalMosquitto.publish(broker, "tanks/h1/oxygen", "8.91", "-q", "1");
    LocalMosquitto.publish(
        broker, "tanks/h2/temperature", "[{\"u\":\"K\",\"v\":285.4}]", "-q", "1");
    LocalMosquitto.publish(broker, "tanks/h9/oxygen", "1.0", "-q", "1");

    await()
        .atMost(PATIENCE)
        .ignoreExceptions()
        .untilAsserted(
            () -> {
              assertThat(tank(opercle, pages, "h1").path("oxygenMgPerL").asDouble())
                  .isEqualTo(8.91);
              assertThat(tank(opercle, pages, "h2").path("temperatureC").asDouble())
                  .isCloseTo(12.25, org.assertj.core.api.Assertions.within(0.001));
            });
    assertThat(tank(opercle, pages, "h2").path("oxygenMgPerL").isNumber()).isFalse();
    await()
        .atMost(PATIENCE)
        .untilAsserted(
            () -> assertThat(opercle.get(pages.resolve("/api/v1/not-taken"))).contains("h9"));
  }

  @Test
  void killedWhileMosquittoHoldsItsSession_everyAcknowledgedReadingIsStoredOnce() throws Exception {
    try (LocalMosquitto broker = LocalMosquitto.start(folder)) {
      String config = configuration(broker);
      Set<Instant> acknowledged = new ConcurrentSkipListSet<>();
      List<CompletableFuture<Void>> published = new ArrayList<>();
      Instant start = Instant.parse("2026-11-25T06:00:00Z");
      try (MqttLink probe = MqttLink.open(MqttSettings.of(broker.uri(), "probe"))) {
        OpercleProcess first = OpercleProcess.start("serve", "--config", config);
        first.awaitLine("Connected to the MQTT broker .* as opercle-serve");
        for (int i = 0; i < 30_000; i++) {
          Instant time = start.plusMillis(i);
          String pack =
              String.format(
                  Locale.ROOT,
                  "[{\"bt\":%.3f,\"u\":\"mg/l\",\"v\":%.2f}]",
                  time.toEpochMilli() / 1000.0,
                  8.0 + i % 100 / 100.0);
          published.add(
              probe
                  .publish("tanks/h1/oxygen", pack.getBytes(StandardCharsets.UTF_8), 1, false)
                  .thenRun(() -> acknowledged.add(time)));
          if (i == 12_000) {
            first.kill(); // and the probes go on publishing
          }
        }
        CompletableFuture.allOf(published.toArray(CompletableFuture[]::new)).get();
      }
      assertThat(acknowledged).hasSize(30_000);

      try (OpercleProcess second = OpercleProcess.start("serve", "--config", config)) {
        second.pages();
        try (SqliteReadings store =
            SqliteReadings.openReadOnly(folder.resolve("opercle-data/readings.db"))) {
          Series series = new Series("h1", Quantity.OXYGEN, Reading.DEFAULT_PROBE);
          await()
              .atMost(Duration.ofSeconds(90))
              .until(() -> store.range(series, start, start.plusSeconds(60)).size() >= 30_000);
          List<Instant> stored =
              store.range(series, start, start.plusSeconds(60)).stream()
                  .map(Reading::time)
                  .toList();
          assertThat(stored).doesNotHaveDuplicates();
          assertThat(new TreeSet<>(stored)).isEqualTo(acknowledged);
        }
      }
    }
  }

  @Test
  void servicesApart_stateAndAcknowledgementTravelOverTheBroker() throws Exception {
    try (LocalMosquitto broker = LocalMosquitto.start(folder)) {
      String config = configuration(broker);
      try (OpercleProcess ingest = OpercleProcess.start("ingest", "--config", config);
          OpercleProcess analyse = OpercleProcess.start("analyse", "--config", config)) {
        ingest.awaitLine("Connected to the MQTT broker .* as opercle-ingest$");
        analyse.awaitLine("Connected to the MQTT broker .* as opercle-analyse");
        try (OpercleProcess dashboard = OpercleProcess.start("dashboard", "--config", config)) {
          URI pages = dashboard.pages();
          // No such tank: it must not stop the acknowledgement that is meant.
          LocalMosquitto.publish(
              broker.uri(),
              "opercle/Sallowmere/tank/h9/alarm/oxygen-low/acknowledge",
              "{\"by\":\"Robin\"}");
          LocalMosquitto.publish(broker.uri(), "tanks/h1/oxygen", "4.0", "-q", "1");
          LocalMosquitto.publish(broker.uri(), "tanks/h1/oxygen", "4.0", "-q", "1");
          await()
              .atMost(PATIENCE)
              .ignoreExceptions()
              .untilAsserted(
                  () ->
                      assertThat(
                              tank(dashboard, pages, "h1")
                                  .path("alarms")
                                  .path(0)
                                  .path("cause")
                                  .asText())
                          .isEqualTo("oxygen-low"));

          int status =
              dashboard.post(
                  pages.resolve("/api/v1/tanks/h1/alarms/oxygen-low/acknowledge"),
                  "{\"by\":\"Robin\"}");

          assertThat(status).isBetween(200, 204);
          await()
              .atMost(PATIENCE)
              .untilAsserted(
                  () ->
                      assertThat(
                              tank(dashboard, pages, "h1")
                                  .path("alarms")
                                  .path(0)
                                  .path("state")
                                  .asText())
                          .isEqualTo("acknowledged"));
          assertThat(analyse.lines()).anyMatch(l -> l.contains("acknowledged h1 oxygen-low"));
          await()
              .atMost(PATIENCE)
              .untilAsserted(
                  () ->
                      assertThat(
                              dashboard.get(
                                  pages.resolve(
                                      "/api/v1/tanks/h1/trace?quantity=oxygen&points=100")))
                          .contains("4"));
        }
      }
    }
  }

  @Test
  void takenPort_isOneClearLineAndExitCode2() throws Exception {
    try (ServerSocket taken = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      OpercleProcess.Outcome outcome =
          OpercleProcess.run(
              folder,
              "serve",
              "--config",
              configuration("{ port: %d }".formatted(taken.getLocalPort())));

      assertThat(outcome.exitCode()).isEqualTo(2);
      assertThat(outcome.err().lines().filter(l -> !l.contains("INFO")))
          .singleElement()
          .asString()
          .contains(String.valueOf(taken.getLocalPort()), "taken");
    }
  }

  @Test
  void killedRightAfterTheFarmWasChanged_theChangeAndTheAssignmentAreThereAgain() throws Exception {
    String config = configuration("{ port: 0 }");
    OpercleProcess first = OpercleProcess.start("serve", "--config", config);
    URI pages = first.pages();
    assertThat(
            first.post(
                pages.resolve("/api/v1/tanks/h2/fish"),
                "{\"by\":\"Robin\",\"do\":\"add\",\"species\":\"tench\",\"kg\":30}"))
        .isEqualTo(200);
    assertThat(
            first.post(
                pages.resolve("/api/v1/setup/topics"),
                "{\"by\":\"Robin\",\"topic\":\"shed/do\",\"tank\":\"h2\",\"quantity\":\"oxygen\"}"))
        .isEqualTo(204);
    first.kill();

    try (OpercleProcess second = OpercleProcess.start("serve", "--config", config)) {
      JsonNode setUp = json.readTree(second.get(second.pages().resolve("/api/v1/setup")));
      assertThat(setUp.path("changes").path(0).path("by").asText()).isEqualTo("Robin");
      assertThat(setUp.path("tanks").path(1).path("loads").path(0).path("kg").asDouble())
          .isEqualTo(30.0);
      String broker = second.awaitLine("probes publish to (tcp://[^,]+),").group(1);
      second.awaitLine("Connected to the MQTT broker .* as opercle-serve");
      await()
          .atMost(PATIENCE)
          .ignoreExceptions()
          .untilAsserted(
              () -> {
                LocalMosquitto.publish(URI.create(broker), "shed/do", "8.91", "-q", "1");
                assertThat(tank(second, second.pages(), "h2").path("oxygenMgPerL").asDouble())
                    .isEqualTo(8.91);
              });
    }
  }
}
