// SPDX-License-Identifier: Apache-2.0
package opercle.simulator;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.time.Instant;
import java.util.List;
import opercle.analysis.farm.Tank;
import opercle.ingest.reading.Reading;
import org.junit.jupiter.api.Test;

class SyntheticFarmTest {

  private static final Instant START = Instant.parse("2026-03-14T20:00:00Z");

  @Test
  void farm_hasSoManyTanksWithIdsOfTheirOwn() {
    assertThat(SyntheticFarm.of(500, 1L).tanks())
        .hasSize(500)
        .extracting(Tank::id)
        .doesNotHaveDuplicates()
        .contains("s0001", "s0500");
  }

  @Test
  void running_reportsAtTheRateAskedFor() {
    for (double rate : new double[] {50.0, 2000.0}) {
      SimulatedFarm farm =
          SyntheticFarm.running(200, rate, Scenario.named("quiet-night"), 1L, START);

      List<Reading> readings = farm.advance(START.plusSeconds(120));

      assertThat(readings.size() / 120.0).isCloseTo(rate, within(0.03 * rate));
    }
  }

  @Test
  void running_rateThatNoProbeHas_isRefusedWithTheNumbers() {
    assertThatThrownBy(
            () -> SyntheticFarm.running(10, 5000.0, Scenario.named("quiet-night"), 1L, START))
        .hasMessageContaining("500.0");
    assertThatThrownBy(() -> SyntheticFarm.of(0, 1L)).hasMessageContaining("to have 0");
  }
}
