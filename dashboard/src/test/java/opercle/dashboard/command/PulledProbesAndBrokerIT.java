// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import opercle.ingest.mqtt.LocalMosquitto;
import opercle.ingest.mqtt.MqttSettings;
import opercle.ingest.mqtt.TopicListener;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Pulls the gas, the probes and the broker, one after another. */
class PulledProbesAndBrokerIT {

  private final List<String> tests = new CopyOnWriteArrayList<>();

  @TempDir Path folder;

  private PulledLinks farm;

  @BeforeEach
  void describeTheFarm() throws IOException {
    farm = new PulledLinks(folder);
  }

  @AfterEach
  void stop() throws IOException {
    farm.close();
  }

  @Test
  void gasProbesAndBroker() throws Exception {
    try (LocalMosquitto broker = LocalMosquitto.start(folder);
        PulledLinks.Ears ears = farm.new Ears(broker);
        OpercleProcess opercle =
            PulledLinks.serving(farm.configuration(broker, folder.resolve("opercle-data")), ears);
        PulledLinks.Probes probes = new PulledLinks.Probes(broker, "h1")) {
      await().atMost(PulledLinks.PATIENCE).until(ears::seesOxygen);
      try (TopicListener siren =
          TopicListener.open(
              MqttSettings.of(broker.uri(), "tested-siren"),
              List.of("opercle/Sallowmere/monitor/alarm-test"),
              m -> tests.add(new String(m.payload(), UTF_8)))) {
        await().atMost(PulledLinks.PATIENCE).until(() -> siren.linkState().connected());
        farm.measure(
            "nothing: her ways are tested",
            "a siren hears it as a test, and so does she",
            () ->
                PulledLinks.run(
                    () ->
                        assertThat(
                                opercle.post(
                                    opercle.pages().resolve("/api/v1/people/Maren/test"), "{}"))
                            .isEqualTo(202)),
            () -> !tests.isEmpty() && farm.receiver.wasTold("\"type\":\"test\""));
        assertThat(tests).singleElement().asString().contains("\"test\":true", "Nothing is wrong");
      }

      farm.measure(
          "gas line shut",
          "alarm *gas has stopped*",
          () -> probes.of("h1").flow = 0.0,
          () -> ears.heard("gas-line-stopped", "raised"));
      probes.of("h1").flow = 45.0;
      farm.measure(
          "all probes of a tank",
          "alarm *a probe has gone quiet*",
          () -> probes.plugged = false,
          () -> ears.heard("probe-silent", "raised"));
      probes.plugged = true;
      await().atMost(PulledLinks.PATIENCE).until(ears::seesOxygen);

      farm.measure(
          "broker killed",
          "the pages say that no readings arrive",
          () -> PulledLinks.run(broker::kill),
          () -> ears.troubles().contains("No readings arrive"));
      farm.measure(
          "broker still away",
          "Maren is called: *no probe is heard*",
          () -> {},
          () -> farm.receiver.wasTold("\"trouble\":\"broker-lost\""));
      farm.measure(
          "broker back",
          "connected again, the pages say nothing any more",
          () -> PulledLinks.run(broker::restart),
          () -> !ears.troubles().contains("No readings arrive"));
      assertThat(opercle.lines())
          .filteredOn(line -> line.contains(" ERROR "))
          .allMatch(line -> line.contains("No readings arrive"));
    }
  }
}
