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
import opercle.ingest.LocalPostgres;
import opercle.ingest.mqtt.LocalMosquitto;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The jar with a farm book on a real PostgreSQL, in two processes. */
class PostgresServeIT {

  private static final Duration PATIENCE = Duration.ofSeconds(90);
  private static final String TANK =
      """
        - id: %s
          kind: holding
          waterLitres: 1500
          supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }
          load: { species: tench, kg: 55, count: 70 }
      """;

  @TempDir Path folder;

  private String configuration(String name, LocalMosquitto broker, int port, String database)
      throws IOException {
    Files.writeString(
        folder.resolve("farm.yaml"),
        "farm: Sallowmere\ntanks:\n" + TANK.formatted("h1") + TANK.formatted("h2"));
    Files.writeString(folder.resolve("password.txt"), LocalPostgres.PASSWORD + "\n");
    Path file = folder.resolve(name + ".yaml");
    Files.writeString(
        file,
        """
        farm: farm.yaml
        dashboard: { port: 0 }
        mqtt: { broker: "%s", clientId: %s }
        book:
          postgresql:
            url: "postgresql://127.0.0.1:%s/%s"
            user: %s
            passwordFile: password.txt
        """
            .formatted(broker.uri(), name, String.valueOf(port), database, LocalPostgres.USER));
    return file.toString();
  }

  /** Twice: one low reading alone is not believed. */
  private static void publishLow(LocalMosquitto broker, String tank) throws Exception {
    LocalMosquitto.publish(broker.uri(), "tanks/" + tank + "/oxygen", "1.5");
    LocalMosquitto.publish(broker.uri(), "tanks/" + tank + "/oxygen", "1.5");
  }

  private static boolean tells(OpercleProcess opercle, String address, String what)
      throws Exception {
    return opercle.get(opercle.pages().resolve(address)).contains(what);
  }

  private static boolean hasRaised(OpercleProcess opercle, String tank) throws Exception {
    return tells(opercle, "/api/v1/alarms?tank=" + tank, "\"raised\"");
  }

  private static boolean standsLive(OpercleProcess opercle, String tank) throws Exception {
    String farm = opercle.get(opercle.pages().resolve("/api/v1/tanks"));
    for (JsonNode shown : new ObjectMapper().readTree(farm).path("tanks")) {
      if (tank.equals(shown.path("id").asText())) {
        return shown.path("state").path("alarms").toString().contains("oxygen-low");
      }
    }
    return false;
  }

  @Test
  void serverKilled_watchGoesOn_andItIsSaid_andAllIsWrittenDownWhenItIsBack() throws Exception {
    try (LocalMosquitto broker = LocalMosquitto.start(folder);
        LocalPostgres postgres = LocalPostgres.start()) {
      String database = postgres.newDatabase();
      String config = configuration("serve", broker, postgres.port(), database);
      try (OpercleProcess opercle = OpercleProcess.start("serve", "--config", config)) {
        URI pages = opercle.pages();
        opercle.awaitLine("Connected to the MQTT broker .* as serve-serve");
        try (OpercleProcess looking =
            OpercleProcess.start(
                "dashboard",
                "--config",
                configuration("pages", broker, postgres.port(), database))) {
          publishLow(broker, "h1");
          await().atMost(PATIENCE).ignoreExceptions().until(() -> hasRaised(looking, "h1"));
        }

        assertThat(hasRaised(opercle, "h1")).isTrue(); // who looked before can look on

        postgres.kill();
        publishLow(broker, "h2");
        await().atMost(PATIENCE).until(() -> standsLive(opercle, "h2"));
        await()
            .atMost(PATIENCE)
            .until(() -> tells(opercle, "/api/v1/monitor", "could not take anything"));
        assertThat(opercle.get(pages.resolve("/api/v1/monitor")))
            .contains("The farm book postgresql://127.0.0.1:")
            .contains("the database server cannot be reached");

        postgres.restart();
        await().atMost(PATIENCE).ignoreExceptions().until(() -> hasRaised(opercle, "h2"));
        assertThat(opercle.lines()).noneMatch(l -> l.contains(LocalPostgres.PASSWORD));
      }
      postgres.kill();
      try (OpercleProcess waiting = OpercleProcess.start("serve", "--config", config)) {
        waiting.awaitLine(
            "the farm book postgresql://127.0.0.1:.* could not be opened: the database server"
                + " cannot be reached. No tank is watched until it answers");
        postgres.restart();
        waiting.awaitLine("Connected to the MQTT broker .* as serve-serve");
        assertThat(hasRaised(waiting, "h2")).isTrue();
        assertThat(waiting.lines()).noneMatch(l -> l.startsWith("\tat "));
      }
      OpercleProcess.Outcome nowhere =
          OpercleProcess.run(
              folder,
              "serve",
              "--config",
              configuration("serve", broker, postgres.port(), "no-such-database"));
      assertThat(nowhere.exitCode()).isEqualTo(2);
      assertThat(nowhere.err())
          .contains("the database server has no database of that name")
          .doesNotContain("\tat ");
    }
  }
}
