// SPDX-License-Identifier: Apache-2.0
package opercle.simulator;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.ingest.reading.Reading;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

class SimulatedFarmTest {

  private static final Instant START = Instant.parse("2026-03-14T20:00:00Z");

  private static SimulatedFarm farm(String scenario, long seed) {
    return new SimulatedFarm(Sallowmere.farmAt(START), Scenario.named(scenario), seed, START);
  }

  private static List<Reading> run(SimulatedFarm farm, Duration duration) {
    return farm.advance(farm.now().plus(duration));
  }

  static List<String> names() {
    return Scenario.names();
  }

  @ParameterizedTest
  @MethodSource("names")
  void everyScenario_sameSeedAnyCuts_sameReadings(String scenario) {
    List<Reading> whole = run(farm(scenario, 3), Duration.ofMinutes(25));
    SimulatedFarm cut = farm(scenario, 3);
    List<Reading> pieces = new ArrayList<>();
    while (cut.now().isBefore(START.plus(Duration.ofMinutes(25)))) {
      Instant next = cut.now().plusMillis(7_301);
      Instant end = START.plus(Duration.ofMinutes(25));
      pieces.addAll(cut.advance(next.isBefore(end) ? next : end));
    }

    assertThat(pieces).isEqualTo(whole);
    assertThat(run(farm(scenario, 4), Duration.ofMinutes(25))).isNotEqualTo(whole);
  }

  @ParameterizedTest
  @MethodSource("names")
  void everyScenario_threeHours_givesReadingsThatTheFrontDoorTakes(String scenario) {
    List<Reading> readings = run(farm(scenario, 5), Duration.ofHours(3));

    assertThat(readings)
        .hasSizeGreaterThan(10_000)
        .allMatch(r -> r.quantity().isPlausible(r.value()));
  }

  @Test
  void quietNight_readingsComeInTimeOrderButForClocksThatShowWholeSeconds() {
    List<Reading> readings = run(farm("quiet-night", 5), Duration.ofHours(1));

    Instant latest = START.minusSeconds(1);
    for (Reading reading : readings) {
      assertThat(reading.time()).isAfter(latest.minusSeconds(1));
      latest = reading.time().isAfter(latest) ? reading.time() : latest;
    }
    assertThat(latest).isBetween(START.plusSeconds(3590), START.plusSeconds(3600));
  }

  /** The farm must look like one whose keeper can sleep: settled, with the balance in order. */
  @Test
  void quietNights_oxygenStaysWhereAKeeperWouldHaveIt() {
    for (long seed = 1; seed <= 12; seed++) {
      SimulatedFarm farm = farm("quiet-night", seed);
      for (int hour = 0; hour <= 10; hour += 2) {
        farm.advance(START.plus(Duration.ofHours(hour)));
        for (Tank tank : farm.farm().tanks()) {
          TankTruth truth = farm.truth(tank.id());
          boolean holding = tank.kind() == Tank.Kind.HOLDING;
          assertThat(truth.oxygenMgPerL())
              .as("seed %s, hour %s, %s", seed, hour, tank.id())
              .isBetween(holding ? 6.8 : 7.0, holding ? 10.2 : 17.0);
        }
      }
    }
  }

  @Test
  void gasStops_minutesInHand_areThoseOfTheTrade() {
    for (long seed = 1; seed <= 8; seed++) {
      SimulatedFarm farm = farm("quiet-night", seed);
      for (Tank tank : farm.farm().tanks()) {
        double minutes =
            farm.minutesToFloor(
                    tank.id(), tank.floorsInForce().criticalMgPerL(), true, Duration.ofHours(6))
                .orElse(Double.NaN);
        boolean holding = tank.kind() == Tank.Kind.HOLDING;
        assertThat(minutes)
            .as("seed %s, %s", seed, tank.id())
            .isBetween(holding ? 30.0 : 7.0, holding ? 180.0 : 50.0);
      }
    }
  }

  @Test
  void minutesToFloor_runAhead_isWhatThenHappens() {
    SimulatedFarm farm = farm("gas-line-stops", 9);
    run(farm, Duration.ofMinutes(3));

    double minutes = farm.minutesToFloor("t1", 4.0, false, Duration.ofHours(2)).orElse(Double.NaN);
    run(farm, Duration.ofMillis(Math.round(minutes * 60_000.0)));

    assertThat(farm.truth("t1").oxygenMgPerL()).isBetween(3.95, 4.0);
  }

  @Test
  void emptyFarm_withScenarioForATank_saysWhatIsMissing() {
    Farm none = new Farm("Nowhere", 0.0, List.of());

    assertThatThrownBy(() -> new SimulatedFarm(none, Scenario.named("gas-line-stops"), 1L, START))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("gas-line-stops")
        .hasMessageContaining("Nowhere");
  }

  @Test
  void scenario_unknownName_namesThoseThatThereAre() {
    assertThatThrownBy(() -> Scenario.named("quite-night"))
        .hasMessageContaining("\"quite-night\"")
        .hasMessageContaining("quiet-night, gas-line-stops");
  }

  /** The first hours after loading are the hungry ones: 1.5 to 2.5 times routine, fading. */
  @Test
  void freshLoad_breathesMoreThanOneThatHasRested() {
    Farm fresh = loadedBefore(Duration.ofMinutes(2));
    Farm rested = loadedBefore(Duration.ofDays(3));

    double freshMinutes = minutesWithoutGas(fresh);
    double restedMinutes = minutesWithoutGas(rested);

    assertThat(restedMinutes / freshMinutes).isBetween(1.25, 2.6);
  }

  private static Farm loadedBefore(Duration ago) {
    Farm farm = Sallowmere.farm();
    List<Tank> tanks = new ArrayList<>();
    for (Tank t : farm.tanks()) {
      List<Tank.Load> loads =
          t.loads().stream()
              .map(
                  l -> new Tank.Load(l.species(), l.kg(), l.count(), Optional.of(START.minus(ago))))
              .toList();
      tanks.add(
          new Tank(
              t.id(),
              t.name(),
              t.kind(),
              t.waterLitres(),
              t.depthM(),
              t.supply(),
              loads,
              t.floors()));
    }
    return new Farm(farm.name(), farm.altitudeM(), tanks);
  }

  private static double minutesWithoutGas(Farm farm) {
    SimulatedFarm simulated = new SimulatedFarm(farm, Scenario.named("quiet-night"), 6L, START);
    double from = simulated.truth("t1").oxygenMgPerL();
    return simulated.minutesToFloor("t1", from - 3.0, true, Duration.ofHours(2)).orElse(Double.NaN);
  }
}
