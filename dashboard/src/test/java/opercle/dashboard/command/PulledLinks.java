// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static java.nio.charset.StandardCharsets.UTF_8;
import static java.util.Objects.requireNonNull;
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
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.Executors;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import java.util.function.BooleanSupplier;
import java.util.stream.Stream;
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
    this(
        folder,
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

  PulledLinks(Path folder, String farm) throws IOException {
    this.folder = folder;
    Files.writeString(folder.resolve("farm.yaml"), farm);
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

  /** What the probes of a tank find. */
  static final class Water {
    volatile double oxygen = 9.0;
    volatile double flow = 45.0;
  }

  /** Probes of some tanks, once a second, as long as they are not pulled. */
  static final class Probes implements AutoCloseable {
    private final MqttLink link;
    private final Map<String, Water> waters = new ConcurrentHashMap<>();
    private final ScheduledExecutorService pace = Executors.newSingleThreadScheduledExecutor();
    volatile boolean plugged = true;

    Probes(LocalMosquitto broker, String... tanks) {
      link = MqttLink.open(MqttSettings.of(broker.uri(), "probes"));
      for (String tank : tanks) {
        waters.put(tank, new Water());
      }
      var unused = pace.scheduleAtFixedRate(this::speak, 0, 1, TimeUnit.SECONDS);
    }

    /** The water of a tank, to be changed. */
    Water of(String tank) {
      return requireNonNull(waters.get(tank), tank);
    }

    private void speak() {
      if (plugged) {
        // A little noise, or the probe would be taken for stuck.
        double noise = 0.02 * Math.sin(System.nanoTime() * 1e-9 * 7.0);
        waters.forEach(
            (tank, water) -> {
              say(tank, "oxygen", water.oxygen + noise);
              say(tank, "temperature", 12.0 + noise);
              say(tank, "gas-flow", water.flow);
            });
      }
    }

    private void say(String tank, String quantity, double value) {
      String text = String.format(Locale.ROOT, "%.3f", value);
      var unused = link.offer("tanks/" + tank + "/" + quantity, text.getBytes(UTF_8), 1, false);
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

    JsonNode alarm(String tank, String cause) {
      for (JsonNode alarm : page.path("tanks").path(tank).path("alarms")) {
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
      return seesOxygen("h1");
    }

    boolean seesOxygen(String... tanks) {
      return Stream.of(tanks).allMatch(t -> page.path("tanks").path(t).has("oxygenMgPerL"));
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
