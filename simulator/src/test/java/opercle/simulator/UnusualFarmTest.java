// SPDX-License-Identifier: Apache-2.0
package opercle.simulator;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.List;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmReader;
import opercle.analysis.farm.Tank;
import opercle.ingest.reading.Reading;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Whatever farm the reader lets through must run and give readings that make sense. */
class UnusualFarmTest {

  private static final Instant START = Instant.parse("2026-07-01T12:00:00Z");

  @ParameterizedTest
  @ValueSource(
      strings = {
        // a cylinder filled beyond what the simulated gas was fitted for
        "{ id: x, name: X, kind: transport, waterLitres: 500, depthM: 0.7, supply: { gas: oxygen, source: cylinder, diffuser: ceramic, flowLPerMin: 2, cylinder: { waterLitres: 20, fullBar: 300 } }, load: { species: pike, kg: 100, count: 30 } }",
        // hardly any gas
        "{ id: x, name: X, kind: holding, waterLitres: 500, depthM: 0.7, supply: { gas: air, source: blower, diffuser: perforated-pipe, flowLPerMin: 0.01 }, load: { species: tench, kg: 20, count: 30 } }",
        // no fish
        "{ id: x, name: X, kind: holding, waterLitres: 500, depthM: 0.7, supply: { gas: air, source: blower, diffuser: air-stone, flowLPerMin: 10 } }",
        // a bucket of fish
        "{ id: x, name: X, kind: transport, waterLitres: 2, depthM: 0.2, supply: { gas: oxygen, source: cylinder, diffuser: air-stone, flowLPerMin: 0.1 }, load: { species: common-carp, kg: 1 } }",
        // a pond
        "{ id: x, name: X, kind: holding, waterLitres: 90000, depthM: 3, supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 400 }, load: { species: brown-trout, kg: 2500, count: 5000 } }",
        // far more fish than the gas can keep
        "{ id: x, name: X, kind: holding, waterLitres: 500, depthM: 0.7, supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 10 }, load: { species: rainbow-trout, kg: 300, count: 300 } }",
      })
  void unusualTank_anHourOfEveryScenario_staysWithinNature(String tank) {
    for (int altitudeM : new int[] {-300, 4800}) {
      Farm farm =
          FarmReader.parse(
              "unusual.yaml",
              "farm: Unusual\naltitudeM: %d\ntanks:\n  - %s\n".formatted(altitudeM, tank));
      for (Scenario scenario : Scenario.all()) {
        if (!fits(scenario, farm)) {
          continue;
        }
        SimulatedFarm simulated = new SimulatedFarm(farm, scenario, 5L, START);
        List<Reading> readings = simulated.advance(START.plusSeconds(3600));

        assertThat(readings).isNotEmpty().allMatch(r -> r.quantity().isPlausible(r.value()));
        TankTruth truth = simulated.truth("x");
        assertThat(truth.lowestOxygenMgPerL()).as(scenario.name()).isBetween(0.0, 80.0);
        assertThat(truth.temperatureC()).isBetween(0.0, 30.0);
      }
    }
  }

  /** A scenario of the blower asks for a tank on one. */
  private static boolean fits(Scenario scenario, Farm farm) {
    return farm.tanks().stream().anyMatch(t -> t.supply().source() == Tank.Source.BLOWER)
        || scenario.happenings().stream().noneMatch(h -> h.where() instanceof Where.OnBlower);
  }
}
