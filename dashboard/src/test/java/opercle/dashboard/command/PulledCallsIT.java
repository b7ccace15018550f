// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.icegreen.greenmail.util.GreenMail;
import com.icegreen.greenmail.util.ServerSetup;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.function.BooleanSupplier;
import opercle.dashboard.command.WebhookReceiver.Mood;
import opercle.ingest.mqtt.LocalMosquitto;
import opercle.ingest.mqtt.MqttLink;
import opercle.ingest.mqtt.MqttSettings;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A running {@code serve} calls people while the ways to them are pulled: a real mail server, and a
 * real HTTP receiver that refuses, stalls and talks rubbish. Prints its rows of the table in
 * docs/alarms.md.
 */
class PulledCallsIT {

  private static final Duration PATIENCE = Duration.ofMinutes(3);
  private static final List<String> TABLE = new CopyOnWriteArrayList<>();

  private final ObjectMapper json = new ObjectMapper();
  private final GreenMail mail = new GreenMail(new ServerSetup(0, "127.0.0.1", "smtp"));
  private final List<AutoCloseable> open = new ArrayList<>();

  @TempDir Path folder;

  private WebhookReceiver receiver;
  private LocalMosquitto broker;
  private MqttLink probes;

  @AfterAll
  static void print() {
    System.out.println("| pulled | noticed | after |\n| --- | --- | --- |");
    TABLE.forEach(System.out::println);
  }

  @BeforeEach
  void start() throws Exception {
    mail.start();
    receiver = new WebhookReceiver();
    open.add(receiver);
    broker = LocalMosquitto.start(folder);
    open.add(broker);
    probes = MqttLink.open(MqttSettings.of(broker.uri(), "probes"));
    open.add(0, probes);
    await().atMost(PATIENCE).until(() -> probes.state().connected());
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
  void stop() throws Exception {
    for (AutoCloseable each : open) {
      each.close();
    }
    mail.stop();
  }

  private String configuration(String channels) throws IOException {
    Path file = folder.resolve("opercle.yaml");
    Files.writeString(
        file,
        """
        farm: farm.yaml
        dataFolder: "%s"
        dashboard: { port: 0 }
        mqtt: { broker: "%s" }
        mail: { host: 127.0.0.1, port: %d, security: none, from: "opercle@sallowmere.example" }
        people:
          - name: Maren
            channels: [ %s ]
        calling: { test: { every: never } }
        """
            .formatted(
                folder.resolve("opercle-data"),
                broker.uri(),
                mail.getSmtp().getPort(),
                channels.replace("WEBHOOK", "webhook: { url: \"" + receiver.url() + "\" }")));
    return file.toString();
  }

  private static OpercleProcess serving(String config) throws IOException {
    OpercleProcess opercle = OpercleProcess.start("serve", "--config", config);
    opercle.pages();
    opercle.awaitLine("Connected to the MQTT broker .* as opercle-serve");
    return opercle;
  }

  /** A minute of readings in one SenML pack: gas, and from 20 s ago on none. */
  private void stopTheGas() {
    StringBuilder pack = new StringBuilder("[");
    for (int second = -60; second <= 0; second++) {
      pack.append(second > -60 ? "," : "")
          .append(
              String.format(
                  Locale.ROOT, "{\"t\":%d,\"v\":%.1f}", second, second < -20 ? 45.0 : 0.0));
    }
    var unused =
        probes.offer("tanks/h1/gas-flow", pack.append(']').toString().getBytes(UTF_8), 1, false);
  }

  private void measure(String pulled, String noticed, BooleanSupplier seen) {
    long start = System.nanoTime();
    stopTheGas();
    await(pulled + ": " + noticed)
        .pollInterval(Duration.ofMillis(20))
        .atMost(PATIENCE)
        .until(seen::getAsBoolean);
    double seconds = (System.nanoTime() - start) / 1e9;
    TABLE.add(String.format(Locale.ROOT, "| %s | %s | %.1f s |", pulled, noticed, seconds));
  }

  private List<JsonNode> calls(OpercleProcess opercle) {
    try {
      JsonNode all = json.readTree(opercle.get(opercle.pages().resolve("/api/v1/calls")));
      List<JsonNode> calls = new ArrayList<>();
      (all.isArray() ? all : all.path("calls")).forEach(calls::add);
      return calls;
    } catch (IOException e) {
      throw new IllegalStateException(e);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new IllegalStateException(e);
    }
  }

  private Optional<JsonNode> call(OpercleProcess opercle, String channel) {
    return calls(opercle).stream()
        .filter(c -> c.path("channel").asText().contains(channel))
        .findFirst();
  }

  @Test
  void mailServerGone_theNextWayIsTaken() throws Exception {
    try (OpercleProcess opercle =
        serving(configuration("mail: maren@sallowmere.example, WEBHOOK"))) {
      mail.stop();
      measure(
          "mail server gone, and the gas stops",
          "Maren is called by her next channel",
          () -> receiver.taken.size() == 1);
      opercle.awaitLine("Maren was not reached by mail");
    }
  }

  @Test
  void receiverStalls_theNextWayIsTaken_andItIsTriedAgain() throws Exception {
    try (OpercleProcess opercle =
        serving(configuration("WEBHOOK, mail: maren@sallowmere.example"))) {
      receiver.mood = Mood.STALLS;
      measure(
          "webhook stalls, and the gas stops",
          "Maren has mail",
          () -> mail.getReceivedMessages().length > 0);
      opercle.awaitLine("Maren was not reached by webhook: .* gives no answer within");
      receiver.mood = Mood.TAKES;
      await().atMost(PATIENCE).until(() -> !receiver.taken.isEmpty());

      assertThat(receiver.taken.get(0)).as("the same call again").isEqualTo(receiver.begun.get(0));
    }
  }

  @Test
  void receiverTalksRubbish_theNextWayIsTaken() throws Exception {
    try (OpercleProcess opercle =
        serving(configuration("WEBHOOK, mail: maren@sallowmere.example"))) {
      receiver.mood = Mood.TALKS_RUBBISH;
      measure(
          "webhook answers rubbish, and the gas stops",
          "Maren has mail",
          () -> mail.getReceivedMessages().length > 0);
      opercle.awaitLine("Maren was not reached by webhook: .* no proper answer");
    }
  }

  @Test
  void receiverRefuses_theNextWayIsTaken() throws Exception {
    try (OpercleProcess opercle =
        serving(configuration("WEBHOOK, mail: maren@sallowmere.example"))) {
      receiver.mood = Mood.REFUSES;
      measure(
          "webhook answers 503, and the gas stops",
          "Maren has mail",
          () -> mail.getReceivedMessages().length > 0);
      opercle.awaitLine("Maren was not reached by webhook: .* answers 503");
    }
  }

  /** It may come twice, and then under one key; it may not be forgotten. */
  @Test
  void killedWhileACallIsOnItsWay_itIsSentAgainUnderItsKey() throws Exception {
    String config = configuration("WEBHOOK");
    try (OpercleProcess opercle = serving(config)) {
      receiver.mood = Mood.STALLS;
      stopTheGas();
      await().atMost(PATIENCE).until(() -> !receiver.begun.isEmpty());
      opercle.kill();
    }
    String key = receiver.begun.get(0);
    receiver.mood = Mood.TAKES;
    long start = System.nanoTime();
    try (OpercleProcess again = serving(config)) {
      await().atMost(PATIENCE).until(() -> receiver.taken.contains(key));
      TABLE.add(
          String.format(
              Locale.ROOT,
              "| process killed (`kill -9`) while a call is on its way, and started at once | %s | %.1f s |",
              "the call is sent again under its key",
              (System.nanoTime() - start) / 1e9));
      await()
          .atMost(PATIENCE)
          .until(() -> call(again, "webhook").orElseThrow().toString().contains("accepted"));

      assertThat(receiver.taken).filteredOn(k -> k.equals(key)).hasSize(1);
    }
  }
}
