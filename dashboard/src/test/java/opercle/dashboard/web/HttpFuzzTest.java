// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Duration;
import opercle.dashboard.access.Role;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A little of what {@code HttpFuzzMain} does at length. */
class HttpFuzzTest {

  @TempDir Path folder;

  @Test
  void requestsThatAreWrong_areAnsweredWithoutAFault() throws Exception {
    try (DashboardServer server =
            DashboardServer.start(
                DashboardSettings.onLoopback(0), FakeFarm.troubled(), new FakeTraces());
        HttpFuzz fuzz = new HttpFuzz(server.port(), 3)) {
      HttpFuzz.Outcome outcome = fuzz.run(1_500);

      assertThat(outcome.faults()).isEmpty();
      assertThat(outcome.slowest()).isLessThan(Duration.ofSeconds(10));
      assertThat(outcome.statuses()).containsKeys(200, 400, 404);
    }
  }

  @Test
  void withUsers_nothingButFilesAndHealthIsAnswered() throws Exception {
    try (GuardedFarm guarded = GuardedFarm.in(folder);
        HttpFuzz fuzz = new HttpFuzz(guarded.server.port(), 4)) {
      guarded.cookie("Maren", Role.MANAGE);
      HttpFuzz.Outcome outcome = fuzz.run(1_500);

      assertThat(outcome.faults()).isEmpty();
      assertThat(outcome.statuses()).containsKeys(400, 401);
      assertThat(guarded.farm.acts()).isEmpty();
    }
  }
}
