// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import opercle.ingest.mqtt.LocalMosquitto;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Fills the disk under a running {@code serve}. */
class FullDiskIT {

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
  void fullDisk_isSaid_andWhatHappensMeanwhileIsKept() throws Exception {
    Path disk = Files.createDirectory(folder.resolve("small-disk"));
    try (SmallDisk small = SmallDisk.mount(disk, 16);
        LocalMosquitto broker = LocalMosquitto.start(folder);
        PulledLinks.Ears ears = farm.new Ears(broker)) {
      try (OpercleProcess opercle = PulledLinks.serving(farm.configuration(broker, disk), ears);
          PulledLinks.Probes probes = new PulledLinks.Probes(broker, "h1")) {
        await().atMost(PulledLinks.PATIENCE).until(() -> probes.plugged && ears.seesOxygen());
        // A probe heard once has no rhythm yet, and is waited for five minutes, not one.
        String first = ears.newestReading();
        await().atMost(PulledLinks.PATIENCE).until(() -> !ears.newestReading().equals(first));

        farm.measure(
            "disk full",
            "the pages say that readings wait at the broker",
            () -> PulledLinks.run(small::fill),
            () -> ears.troubles().contains("Readings wait at the hub"));
        farm.measure(
            "disk still full, the farm book on it too",
            "Maren is called: *the disk is full*",
            () -> {},
            () -> farm.receiver.wasTold("\"type\":\"monitor\""));
        farm.measure(
            "disk still full, so that no reading is taken",
            "alarm *a probe has gone quiet*",
            () -> {},
            () -> ears.heard("probe-silent", "raised"));
        await()
            .atMost(PulledLinks.PATIENCE)
            .until(() -> ears.troubles().contains("alarm history is not being written"));
        farm.measure(
            "room on the disk again",
            "readings are taken, the pages say nothing any more",
            () -> PulledLinks.run(small::free),
            () -> ears.seesOxygen() && ears.troubles().equals("[]"));

        JsonNode kept = farm.json.readTree(opercle.get(opercle.pages().resolve("/api/v1/alarms")));
        assertThat(kept.path("events").findValuesAsText("cause")).contains("probe-silent");
        assertThat(kept.path("missing")).isEmpty();
        assertThat(farm.receiver.bodies)
            .filteredOn(body -> body.contains("\"kind\":\"monitor\""))
            .allMatch(body -> body.contains("disk-full") || body.contains("store-unwritable"));
      }
      small.fill();
      OpercleProcess.Outcome outcome =
          OpercleProcess.run(folder, "serve", "--config", farm.configuration(broker, disk));
      assertThat(outcome.exitCode()).as("a start on the full disk").isEqualTo(2);
      assertThat(outcome.err()).contains("the disk is full", "No tank is watched");
    }
  }
}
