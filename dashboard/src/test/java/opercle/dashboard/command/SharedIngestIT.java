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
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import opercle.ingest.store.LocalInflux;
import opercle.ingest.store.SqliteReadings;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Two {@code ingest} that take a farm's readings between them, beside a real Mosquitto. */
class SharedIngestIT {

  private static final Duration PATIENCE = Duration.ofSeconds(90);
  private static final int FIRST = 600;
  private static final int SECOND = 12_000;

  private final Instant start =
      Instant.now().truncatedTo(ChronoUnit.MINUTES).minusSeconds(FIRST + SECOND);

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

  /**
   * Readings a second apart, one a message, each sent as soon as there is room for it.
   *
   * @return done when all are acknowledged
   */
  private CompletableFuture<Void> publish(MqttLink probes, int first, int count) {
    return CompletableFuture.runAsync(
        () -> {
          List<CompletableFuture<Void>> acknowledgements = new ArrayList<>();
          for (int s = first; s < first + count; s++) {
            String pack =
                String.format(
                    Locale.ROOT,
                    "[{\"bt\":%d,\"u\":\"mg/l\",\"v\":8.5}]",
                    start.plusSeconds(s).getEpochSecond());
            acknowledgements.add(offered(probes, pack));
          }
          CompletableFuture.allOf(acknowledgements.toArray(CompletableFuture[]::new)).join();
        });
  }

  private static CompletableFuture<Void> offered(MqttLink probes, String pack) {
    try {
      return probes.publish("tanks/h1/oxygen", pack.getBytes(UTF_8), 1, false);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new IllegalStateException(e);
    }
  }

  private static OpercleProcess started(String config, String name) throws IOException {
    OpercleProcess ingest = OpercleProcess.start("ingest", "--config", config);
    ingest.awaitLine("Connected to the MQTT broker .* as " + name + "-ingest$");
    return ingest;
  }

  /** How many of the second batch a spool has. */
  private long takenBy(String name) {
    try (SqliteReadings spool =
        SqliteReadings.openReadOnly(folder.resolve(name + "-data/spool.db"))) {
      return spool
          .range(
              new Series("h1", Quantity.OXYGEN, Reading.DEFAULT_PROBE),
              start.plusSeconds(FIRST),
              start.plusSeconds(FIRST + SECOND))
          .size();
    }
  }

  /**
   * Kills one that has begun to take the second batch, of which half is not even sent.
   *
   * @return done when all of it is acknowledged
   */
  private CompletableFuture<Void> killInTheMiddle(OpercleProcess a, MqttLink probes)
      throws InterruptedException {
    CompletableFuture<Void> half = publish(probes, FIRST, SECOND / 2);
    await().atMost(PATIENCE).pollInterval(Duration.ofMillis(5)).until(() -> takenBy("a") > 0);
    a.kill();
    return half.thenCompose(nothing -> publish(probes, FIRST + SECOND / 2, SECOND / 2));
  }

  @Test
  void twoIngests_oneKilled_allReadingsAreThereOnce_andTheMinutesAreWhole() throws Exception {
    try (LocalMosquitto broker = LocalMosquitto.start(folder);
        LocalInflux influx = LocalInflux.start(folder);
        MqttLink probes = MqttLink.open(MqttSettings.of(broker.uri(), "probes"));
        OpercleProcess b = started(configuration("b", broker, influx), "b")) {
      String configOfA = configuration("a", broker, influx);
      try (OpercleProcess a = started(configOfA, "a")) {
        publish(probes, 0, FIRST).get(PATIENCE.toSeconds(), TimeUnit.SECONDS);
        await().atMost(PATIENCE).until(() -> influx.points("opercle_reading") == FIRST);
        await().atMost(PATIENCE).until(() -> influx.countedInMinutes("") == FIRST);
        assertThat(influx.query(LocalInflux.DATABASE, "SHOW TAG VALUES WITH KEY = part").lines())
            .as("a heading, and two parts")
            .hasSize(3);

        killInTheMiddle(a, probes).get(PATIENCE.toSeconds(), TimeUnit.SECONDS);
        assertThat(takenBy("a")).as("what one took that died").isLessThanOrEqualTo(SECOND / 2);
      }
      // What the broker had given to the dead one it may keep for it; the other goes on.
      await().atMost(PATIENCE).until(() -> takenBy("b") > SECOND / 3);
      try (OpercleProcess again = started(configOfA, "a")) {
        await().atMost(PATIENCE).until(() -> influx.points("opercle_reading") == FIRST + SECOND);
        await()
            .atMost(PATIENCE)
            .untilAsserted(() -> assertThat(influx.countedInMinutes("")).isEqualTo(FIRST + SECOND));
        assertThat(again.lines()).noneMatch(line -> line.contains(" ERROR "));
      }
      assertThat(b.lines()).noneMatch(line -> line.contains(" ERROR "));
    }
  }
}
