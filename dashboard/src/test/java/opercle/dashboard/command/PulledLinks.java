// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.awaitility.Awaitility.await;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
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

/**
 * A farm of one tank whose links can be pulled from a running {@code serve}; prints what was
 * noticed and after how long: the table in docs/alarms.md.
 */
final class PulledLinks implements AutoCloseable {

  static final Duration PATIENCE = Duration.ofMinutes(4);

  private final Path folder;
  private final List<String> table = new CopyOnWriteArrayList<>();
  final ObjectMapper json = new ObjectMapper();
  final WebhookReceiver receiver = new WebhookReceiver();

  PulledLinks(Path folder) throws IOException {
    this.folder = folder;
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

  @Override
  public void close() throws IOException {
    receiver.close();
    System.out.println("| pulled | noticed | after |\n| --- | --- | --- |");
    table.forEach(System.out::println);
  }

  String configuration(LocalMosquitto broker, Path data) throws IOException {
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
  static final class Probes implements AutoCloseable {
    private final MqttLink link;
    private final ScheduledExecutorService pace = Executors.newSingleThreadScheduledExecutor();
    volatile boolean plugged = true;
    volatile double oxygen = 9.0;
    volatile double flow = 45.0;

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
  final class Ears implements AutoCloseable {
    final List<JsonNode> events = new CopyOnWriteArrayList<>();
    private final HttpClient http = HttpClient.newHttpClient();
    private final TopicListener siren;
    volatile JsonNode page = json.createObjectNode();

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

  void measure(String pulled, String noticed, Runnable pull, BooleanSupplier seen) {
    long start = System.nanoTime();
    pull.run();
    await(pulled + ": " + noticed)
        .pollInterval(Duration.ofMillis(20))
        .atMost(PATIENCE)
        .until(seen::getAsBoolean);
    double seconds = (System.nanoTime() - start) / 1e9;
    table.add(String.format(Locale.ROOT, "| %s | %s | %.1f s |", pulled, noticed, seconds));
  }

  static void run(ThrowingRunnable action) {
    try {
      action.run();
    } catch (Exception e) {
      throw new IllegalStateException(e);
    }
  }

  interface ThrowingRunnable {
    void run() throws Exception;
  }

  static OpercleProcess serving(String config, Ears ears) throws IOException {
    OpercleProcess opercle = OpercleProcess.start("serve", "--config", config);
    ears.listenTo(opercle.pages());
    opercle.awaitLine("Connected to the MQTT broker .* as opercle-serve");
    opercle.awaitLine("Connected to the MQTT broker .* as opercle-acknowledge");
    return opercle;
  }
}
