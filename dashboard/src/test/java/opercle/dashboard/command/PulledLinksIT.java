// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.OutputStream;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.Executors;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import java.util.function.BooleanSupplier;
import opercle.ingest.mqtt.LocalMosquitto;
import opercle.ingest.mqtt.MqttLink;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.mqtt.TopicListener;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Assumptions;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Pulls one link after another from a running {@code serve}, and prints what was noticed and after
 * how long: the table in docs/alarms.md.
 */
class PulledLinksIT {

  private static final Duration PATIENCE = Duration.ofMinutes(4);
  private static final List<String> TABLE = new CopyOnWriteArrayList<>();

  private final ObjectMapper json = new ObjectMapper();

  @TempDir Path folder;

  private WebhookReceiver receiver;

  @AfterAll
  static void print() {
    System.out.println("| pulled | noticed | after |\n| --- | --- | --- |");
    TABLE.forEach(System.out::println);
  }

  @BeforeEach
  void describeTheFarm() throws IOException {
    receiver = new WebhookReceiver();
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
  }

  @AfterEach
  void stop() throws IOException {
    receiver.close();
  }

  private String configuration(LocalMosquitto broker, Path data) throws IOException {
    Path file = folder.resolve("opercle.yaml");
    Files.writeString(
        file,
        """
        farm: farm.yaml
        dataFolder: "%s"
        dashboard: { port: 0 }
        mqtt: { broker: "%s" }
        people: [ { name: Maren, channels: [ webhook: { url: "%s" } ] } ]
        calling: { test: { every: never } }
        """
            .formatted(data, broker.uri(), receiver.url()));
    return file.toString();
  }

  /** Probes of one tank, once a second, as long as they are not pulled. */
  private static final class Probes implements AutoCloseable {
    private final MqttLink link;
    private final ScheduledExecutorService pace = Executors.newSingleThreadScheduledExecutor();
    private volatile boolean plugged = true;
    private volatile double oxygen = 9.0;
    private volatile double flow = 45.0;

    Probes(LocalMosquitto broker) {
      link = MqttLink.open(MqttSettings.of(broker.uri(), "probes"));
      var unused = pace.scheduleAtFixedRate(this::speak, 0, 1, TimeUnit.SECONDS);
    }

    private void speak() {
      if (plugged) {
        // A little noise, or the probe would be taken for stuck.
        double noise = 0.02 * Math.sin(System.nanoTime() * 1e-9 * 7.0);
        say("oxygen", oxygen + noise);
        say("gas-flow", flow);
      }
    }

    private void say(String quantity, double value) {
      String text = String.format(Locale.ROOT, "%.3f", value);
      var unused = link.offer("tanks/h1/" + quantity, text.getBytes(UTF_8), 1, false);
    }

    @Override
    public void close() {
      pace.shutdownNow();
      link.close();
    }
  }

  /** Alarm events as a siren hears them, and the newest troubles as a page does. */
  private final class Ears implements AutoCloseable {
    private final List<JsonNode> events = new CopyOnWriteArrayList<>();
    private final HttpClient http = HttpClient.newHttpClient();
    private final TopicListener siren;
    private volatile JsonNode page = json.createObjectNode();

    Ears(LocalMosquitto broker) {
      siren =
          TopicListener.open(
              MqttSettings.of(broker.uri(), "siren"),
              List.of("opercle/Sallowmere/tank/+/alarm/+"),
              m -> hear(m.payload()));
      await().atMost(PATIENCE).until(() -> siren.linkState().connected());
    }

    private void hear(byte[] payload) {
      try {
        if (payload.length > 0) {
          events.add(json.readTree(payload));
        }
      } catch (IOException e) {
        throw new IllegalStateException(e);
      }
    }

    void listenTo(URI pages) {
      var unused =
          http.sendAsync(
                  HttpRequest.newBuilder(pages.resolve("/live")).build(), BodyHandlers.ofLines())
              .thenAccept(
                  response ->
                      response
                          .body()
                          .filter(line -> line.startsWith("data:"))
                          .forEach(line -> see(line.substring("data:".length()))));
    }

    private void see(String data) {
      try {
        page = json.readTree(data);
      } catch (IOException e) {
        throw new IllegalStateException(e);
      }
    }

    boolean heard(String cause, String event) {
      return events.stream()
          .anyMatch(
              e ->
                  e.path("cause").asText().equals(cause) && e.path("event").asText().equals(event));
    }

    String troubles() {
      return page.path("troubles").toString();
    }

    JsonNode alarm(String cause) {
      for (JsonNode alarm : page.path("tanks").path("h1").path("alarms")) {
        if (alarm.path("cause").asText().equals(cause)) {
          return alarm;
        }
      }
      return json.createObjectNode();
    }

    /** When the newest reading was taken, as the page says it; empty before there is one. */
    String newestReading() {
      return page.path("tanks").path("h1").path("newestReading").asText();
    }

    boolean seesOxygen() {
      return page.path("tanks").path("h1").has("oxygenMgPerL");
    }

    @Override
    public void close() {
      siren.close();
    }
  }

  private static void measure(String pulled, String noticed, Runnable pull, BooleanSupplier seen) {
    long start = System.nanoTime();
    pull.run();
    await(pulled + ": " + noticed)
        .pollInterval(Duration.ofMillis(20))
        .atMost(PATIENCE)
        .until(seen::getAsBoolean);
    double seconds = (System.nanoTime() - start) / 1e9;
    TABLE.add(String.format(Locale.ROOT, "| %s | %s | %.1f s |", pulled, noticed, seconds));
  }

  private static void run(ThrowingRunnable action) {
    try {
      action.run();
    } catch (Exception e) {
      throw new IllegalStateException(e);
    }
  }

  private interface ThrowingRunnable {
    void run() throws Exception;
  }

  private static OpercleProcess serving(String config, Ears ears) throws IOException {
    OpercleProcess opercle = OpercleProcess.start("serve", "--config", config);
    ears.listenTo(opercle.pages());
    opercle.awaitLine("Connected to the MQTT broker .* as opercle-serve");
    opercle.awaitLine("Connected to the MQTT broker .* as opercle-acknowledge");
    return opercle;
  }

  @Test
  void gasProbesAndBroker() throws Exception {
    try (LocalMosquitto broker = LocalMosquitto.start(folder);
        Ears ears = new Ears(broker);
        OpercleProcess opercle =
            serving(configuration(broker, folder.resolve("opercle-data")), ears);
        Probes probes = new Probes(broker)) {
      await().atMost(PATIENCE).until(ears::seesOxygen);

      measure(
          "gas line shut",
          "alarm *gas has stopped*",
          () -> probes.flow = 0.0,
          () -> ears.heard("gas-line-stopped", "raised"));
      probes.flow = 45.0;
      measure(
          "all probes of a tank",
          "alarm *a probe has gone quiet*",
          () -> probes.plugged = false,
          () -> ears.heard("probe-silent", "raised"));
      probes.plugged = true;
      await().atMost(PATIENCE).until(ears::seesOxygen);

      measure(
          "broker killed",
          "the pages say that no readings arrive",
          () -> run(broker::kill),
          () -> ears.troubles().contains("No readings arrive"));
      measure(
          "broker still away",
          "Maren is called: *no probe is heard*",
          () -> {},
          () -> receiver.wasTold("\"trouble\":\"broker-lost\""));
      measure(
          "broker back",
          "connected again, the pages say nothing any more",
          () -> run(broker::restart),
          () -> !ears.troubles().contains("No readings arrive"));
      assertThat(opercle.lines())
          .filteredOn(line -> line.contains(" ERROR "))
          .allMatch(line -> line.contains("No readings arrive"));
    }
  }

  @Test
  void fullDisk_isSaid_andWhatHappensMeanwhileIsKept() throws Exception {
    Path disk = Files.createDirectory(folder.resolve("small-disk"));
    Process mount =
        new ProcessBuilder("mount", "-t", "tmpfs", "-o", "size=16m", "tmpfs", disk.toString())
            .redirectErrorStream(true)
            .start();
    String why = new String(mount.getInputStream().readAllBytes(), UTF_8);
    Assumptions.assumeTrue(mount.waitFor() == 0, () -> "no small disk can be mounted: " + why);
    try (LocalMosquitto broker = LocalMosquitto.start(folder);
        Ears ears = new Ears(broker)) {
      Path filler = disk.resolve("filler");
      try (OpercleProcess opercle = serving(configuration(broker, disk), ears);
          Probes probes = new Probes(broker)) {
        await().atMost(PATIENCE).until(() -> probes.plugged && ears.seesOxygen());
        // A probe heard once has no rhythm yet, and is waited for five minutes, not one.
        String first = ears.newestReading();
        await().atMost(PATIENCE).until(() -> !ears.newestReading().equals(first));

        measure(
            "disk full",
            "the pages say that readings wait at the broker",
            () -> run(() -> fill(filler)),
            () -> ears.troubles().contains("Readings wait at the broker"));
        measure(
            "disk still full, the farm book on it too",
            "Maren is called: *the disk is full*",
            () -> {},
            () -> receiver.wasTold("\"type\":\"monitor\""));
        measure(
            "disk still full, so that no reading is taken",
            "alarm *a probe has gone quiet*",
            () -> {},
            () -> ears.heard("probe-silent", "raised"));
        await()
            .atMost(PATIENCE)
            .until(() -> ears.troubles().contains("alarm history is not being written"));
        measure(
            "room on the disk again",
            "readings are taken, the pages say nothing any more",
            () -> run(() -> Files.delete(filler)),
            () -> ears.seesOxygen() && ears.troubles().equals("[]"));

        JsonNode kept = json.readTree(opercle.get(opercle.pages().resolve("/api/v1/alarms")));
        assertThat(kept.path("events").findValuesAsText("cause")).contains("probe-silent");
        assertThat(kept.path("missing")).isEmpty();
        assertThat(receiver.bodies)
            .filteredOn(body -> body.contains("\"kind\":\"monitor\""))
            .allMatch(body -> body.contains("disk-full") || body.contains("store-unwritable"));
      }
    } finally {
      assertThat(new ProcessBuilder("umount", disk.toString()).inheritIO().start().waitFor())
          .isZero();
    }
  }

  private static void fill(Path filler) throws IOException {
    byte[] block = new byte[4096];
    try (OutputStream out = Files.newOutputStream(filler)) {
      while (true) {
        out.write(block);
      }
    } catch (IOException e) {
      if (!String.valueOf(e.getMessage()).contains("No space left")) {
        throw e;
      }
    }
  }

  /** In each state, what stood stands again, and the history has every event once. */
  @Test
  void serve_killedInEachStateOfAnAlarm() throws Exception {
    try (LocalMosquitto broker = LocalMosquitto.start(folder);
        Ears ears = new Ears(broker);
        Probes probes = new Probes(broker)) {
      String config = configuration(broker, folder.resolve("opercle-data"));
      OpercleProcess opercle = serving(config, ears);
      await().atMost(PATIENCE).until(ears::seesOxygen);
      probes.oxygen = 5.5;
      await().atMost(PATIENCE).until(() -> ears.heard("oxygen-low", "raised"));
      opercle = killedAndStanding(opercle, config, ears, "unacknowledged");

      assertThat(
              opercle.post(
                  opercle.pages().resolve("/api/v1/tanks/h1/alarms/oxygen-low/acknowledge"),
                  "{\"by\":\"Robin\"}"))
          .isEqualTo(204);
      opercle = killedAndStanding(opercle, config, ears, "acknowledged");

      probes.oxygen = 9.0;
      await().atMost(PATIENCE).until(() -> ears.heard("oxygen-low", "cleared"));
      probes.oxygen = 5.5;
      await().atMost(PATIENCE).until(() -> raisedTwice(ears));
      probes.oxygen = 9.0;
      await().atMost(PATIENCE).until(() -> state(ears).equals("returned-unacknowledged"));
      opercle = killedAndStanding(opercle, config, ears, "returned-unacknowledged");

      List<String> told = new ArrayList<>();
      JsonNode kept = json.readTree(opercle.get(opercle.pages().resolve("/api/v1/alarms")));
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

  private static boolean raisedTwice(Ears ears) {
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

  private static String state(Ears ears) {
    return ears.alarm("oxygen-low").path("state").asText();
  }

  private OpercleProcess killedAndStanding(
      OpercleProcess opercle, String config, Ears ears, String state) throws Exception {
    await().atMost(PATIENCE).until(() -> state(ears).equals(state));
    String since = ears.alarm("oxygen-low").path("since").asText();
    opercle.kill();
    ears.page = json.createObjectNode();
    OpercleProcess[] next = new OpercleProcess[1];
    measure(
        "process killed with an alarm " + state + ", and started at once",
        "the alarm stands as it stood, and readings are taken",
        () -> run(() -> next[0] = serving(config, ears)),
        () -> state(ears).equals(state) && ears.seesOxygen());
    assertThat(ears.alarm("oxygen-low").path("since").asText()).isEqualTo(since);
    return next[0];
  }
}
