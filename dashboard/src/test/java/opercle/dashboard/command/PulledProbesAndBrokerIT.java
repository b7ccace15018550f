// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.nio.file.Path;
import opercle.ingest.mqtt.LocalMosquitto;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Pulls the gas, the probes and the broker, one after another. */
class PulledProbesAndBrokerIT {

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
        PulledLinks.Probes probes = new PulledLinks.Probes(broker)) {
      await().atMost(PulledLinks.PATIENCE).until(ears::seesOxygen);

      farm.measure(
          "gas line shut",
          "alarm *gas has stopped*",
          () -> probes.flow = 0.0,
          () -> ears.heard("gas-line-stopped", "raised"));
      probes.flow = 45.0;
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
