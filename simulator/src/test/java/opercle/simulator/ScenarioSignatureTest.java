// SPDX-License-Identifier: Apache-2.0
package opercle.simulator;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Instant;
import java.util.List;
import opercle.analysis.farm.Tank;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import org.junit.jupiter.api.Test;

/** Each scenario must show what the detection note says that its cause shows. */
class ScenarioSignatureTest {

  private static final Instant START = Instant.parse("2026-03-14T20:00:00Z");

  private static SimulatedFarm farm(String scenario) {
    return new SimulatedFarm(Sallowmere.farmAt(START), Scenario.named(scenario), 21L, START);
  }

  private static Instant minute(double minutes) {
    return START.plusMillis(Math.round(minutes * 60_000.0));
  }

  /** Mean of the readings of the first probe between two minutes of the run. */
  private static double mean(
      List<Reading> readings, String tank, Quantity quantity, double from, double to) {
    return readings.stream()
        .filter(r -> r.tank().equals(tank) && r.quantity() == quantity)
        .filter(r -> r.probe().equals("1"))
        .filter(r -> !r.time().isBefore(minute(from)) && r.time().isBefore(minute(to)))
        .mapToDouble(Reading::value)
        .average()
        .orElse(Double.NaN);
  }

  @Test
  void gasLineStops_meterFallsToNoughtAndOxygenFalls() {
    List<Reading> r = farm("gas-line-stops").advance(minute(8));

    assertThat(mean(r, "t1", Quantity.GAS_FLOW, 0, 1)).isCloseTo(1.8, within(0.1));
    assertThat(mean(r, "t1", Quantity.GAS_FLOW, 1.2, 8)).isLessThan(0.05);
    assertThat(mean(r, "t1", Quantity.OXYGEN, 7, 8))
        .isLessThan(mean(r, "t1", Quantity.OXYGEN, 0, 1) - 1.5);
    assertThat(mean(r, "t2", Quantity.GAS_FLOW, 1.2, 8)).isCloseTo(1.6, within(0.1));
  }

  @Test
  void splitAfterMeter_flowUpPressureDownOxygenFalls() {
    List<Reading> r = farm("split-after-meter").advance(minute(8));

    assertThat(mean(r, "t1", Quantity.GAS_FLOW, 2, 8)).isGreaterThan(1.9);
    assertThat(mean(r, "t1", Quantity.LINE_PRESSURE, 2, 8))
        .isLessThan(0.2 * mean(r, "t1", Quantity.LINE_PRESSURE, 0, 1));
    assertThat(mean(r, "t1", Quantity.OXYGEN, 7, 8))
        .isLessThan(mean(r, "t1", Quantity.OXYGEN, 0, 1) - 1.5);
  }

  @Test
  void splitBeforeMeter_flowGoesOnThatTankAloneAndTheOthersKeepTheirs() {
    List<Reading> r = farm("split-before-meter").advance(minute(8));

    assertThat(mean(r, "h2", Quantity.GAS_FLOW, 2, 8)).isLessThan(2.0);
    assertThat(mean(r, "h3", Quantity.GAS_FLOW, 2, 8)).isGreaterThan(70.0);
  }

  @Test
  void blowerStops_everyHoldingTankLosesItsAirAndTransportDoesNot() {
    SimulatedFarm farm = farm("blower-stops");
    List<Reading> r = farm.advance(minute(20));

    for (Tank tank : farm.farm().tanks()) {
      boolean holding = tank.kind() == Tank.Kind.HOLDING;
      double after = mean(r, tank.id(), Quantity.GAS_FLOW, 2, 20);
      double share = after / tank.supply().flowLPerMin();
      assertThat(share).as(tank.id()).isBetween(holding ? 0.0 : 0.9, holding ? 0.05 : 1.1);
      if (holding) {
        assertThat(mean(r, tank.id(), Quantity.OXYGEN, 19, 20))
            .isLessThan(mean(r, tank.id(), Quantity.OXYGEN, 0, 1) - 0.5);
      }
    }
  }

  @Test
  void cylinderRunsOut_pressureFallsToNothingAndTheFlowDiesAwayOverMinutes() {
    SimulatedFarm farm = farm("cylinder-runs-out");
    List<Reading> r = farm.advance(minute(180));

    assertThat(mean(r, "t1", Quantity.CYLINDER_PRESSURE, 0, 1)).isGreaterThan(50.0);
    assertThat(mean(r, "t1", Quantity.CYLINDER_PRESSURE, 2, 4)).isBetween(7.0, 8.5);
    assertThat(mean(r, "t1", Quantity.GAS_FLOW, 2, 10)).isCloseTo(1.8, within(0.1));
    assertThat(mean(r, "t1", Quantity.GAS_FLOW, 170, 180)).isLessThan(0.3);
    assertThat(farm.truth("t1").oxygenMgPerL()).isLessThan(4.0);
  }

  @Test
  void diffuserBlocked_flowDownPressureUp() {
    List<Reading> r = farm("diffuser-blocked").advance(minute(40));

    assertThat(mean(r, "h2", Quantity.GAS_FLOW, 20, 40)).isLessThan(30.0);
    double healthy = mean(r, "h3", Quantity.OXYGEN, 35, 40) - mean(r, "h3", Quantity.OXYGEN, 0, 1);
    double blocked = mean(r, "h2", Quantity.OXYGEN, 35, 40) - mean(r, "h2", Quantity.OXYGEN, 0, 1);
    assertThat(blocked).isLessThan(healthy - 0.7);
  }

  @Test
  void coarseBubbles_flowAsBeforeAndOxygenFalls() {
    List<Reading> r = farm("coarse-bubbles").advance(minute(40));

    assertThat(mean(r, "h3", Quantity.GAS_FLOW, 2, 40)).isCloseTo(80.0, within(4.0));
    assertThat(mean(r, "h3", Quantity.OXYGEN, 35, 40))
        .isLessThan(mean(r, "h3", Quantity.OXYGEN, 0, 1) - 0.7);
  }

  @Test
  void probeInAir_oxygenNearAirSaturationTemperatureToAirThenBack() {
    SimulatedFarm farm = farm("probe-in-air");
    List<Reading> r = farm.advance(minute(20));

    assertThat(mean(r, "h2", Quantity.OXYGEN, 6, 10)).isBetween(10.0, 13.0);
    double waterC = mean(r, "h2", Quantity.TEMPERATURE, 0, 1);
    assertThat(Math.abs(mean(r, "h2", Quantity.TEMPERATURE, 6, 10) - waterC)).isGreaterThan(0.3);
    assertThat(mean(r, "h2", Quantity.TEMPERATURE, 15, 20)).isCloseTo(waterC, within(0.1));
    assertThat(mean(r, "h2", Quantity.OXYGEN, 17, 20))
        .isCloseTo(farm.truth("h2").oxygenMgPerL(), within(0.4));
  }

  @Test
  void probeStuck_repeatsOneValueWhileItsNeighboursLive() {
    List<Reading> r = farm("probe-stuck").advance(minute(30));

    assertThat(distinct(r, "h2", Quantity.OXYGEN)).isEqualTo(1);
    assertThat(distinct(r, "h3", Quantity.OXYGEN)).isGreaterThan(3);
    assertThat(distinct(r, "h2", Quantity.GAS_FLOW)).isGreaterThan(3);
  }

  private static long distinct(List<Reading> readings, String tank, Quantity quantity) {
    return readings.stream()
        .filter(r -> r.tank().equals(tank) && r.quantity() == quantity)
        .filter(r -> r.probe().equals("1") && r.time().isAfter(minute(1.5)))
        .mapToDouble(Reading::value)
        .distinct()
        .count();
  }

  @Test
  void bubbleOnProbe_farAboveAirSaturationThenBack() {
    List<Reading> r = farm("bubble-on-probe").advance(minute(12));

    assertThat(mean(r, "t1", Quantity.OXYGEN, 3, 4)).isGreaterThan(20.0);
    assertThat(mean(r, "t1", Quantity.OXYGEN, 9, 12)).isLessThan(18.0);
  }

  @Test
  void meterGlitches_zeroForAMomentWhileOxygenHolds() {
    List<Reading> r = farm("meter-glitches").advance(minute(30));

    long zeros =
        r.stream()
            .filter(x -> x.tank().equals("h2") && x.quantity() == Quantity.GAS_FLOW)
            .filter(x -> x.value() == 0.0)
            .count();
    assertThat(zeros).isBetween(1L, 4L);
    assertThat(mean(r, "h2", Quantity.OXYGEN, 25, 30))
        .isCloseTo(mean(r, "h2", Quantity.OXYGEN, 0, 2), within(0.4));
  }

  @Test
  void fishAdded_oxygenBendsToALowerLevelWithGasAsBefore() {
    List<Reading> r = farm("fish-added").advance(minute(240));

    assertThat(mean(r, "h3", Quantity.GAS_FLOW, 60, 240)).isCloseTo(80.0, within(4.0));
    double before = mean(r, "h3", Quantity.OXYGEN, 0, 2);
    double first = before - mean(r, "h3", Quantity.OXYGEN, 28, 32);
    double last =
        mean(r, "h3", Quantity.OXYGEN, 150, 170) - mean(r, "h3", Quantity.OXYGEN, 220, 240);
    assertThat(first).isGreaterThan(0.5);
    assertThat(Math.abs(last)).isLessThan(0.5 * first);
  }

  @Test
  void warmSpell_waterWarmsAndOxygenSags() {
    SimulatedFarm warm = farm("warm-spell");
    SimulatedFarm plain = farm("quiet-night");
    warm.advance(minute(600));
    plain.advance(minute(600));

    for (String tank : List.of("h1", "h2", "h3", "t1")) {
      assertThat(warm.truth(tank).temperatureC())
          .isGreaterThan(plain.truth(tank).temperatureC() + 0.4);
      assertThat(warm.truth(tank).oxygenMgPerL()).isLessThan(plain.truth(tank).oxygenMgPerL());
    }
  }

  @Test
  void dropOuts_silenceThenABurstOfOldReadings() {
    SimulatedFarm farm = farm("drop-outs");
    farm.advance(minute(2.5));

    assertThat(farm.advance(minute(5.9)).stream().filter(r -> r.time().isAfter(minute(2.6))))
        .isEmpty();
    List<Reading> burst = farm.advance(minute(6.2));
    assertThat(burst.stream().filter(r -> r.time().isBefore(minute(5)))).hasSizeGreaterThan(100);
  }

  @Test
  void clockSteps_stampedReadingsAreFiveMinutesAhead() {
    SimulatedFarm farm = farm("clock-steps");
    farm.advance(minute(5));

    List<Reading> r = farm.advance(minute(6));

    assertThat(r.stream().filter(x -> x.tank().equals("h2")))
        .anyMatch(x -> x.time().isAfter(minute(9.9)));
    assertThat(r.stream().filter(x -> x.tank().equals("h3")))
        .noneMatch(x -> x.time().isAfter(minute(6)));
  }

  @Test
  void deadCorner_secondProbeFallsAwayFromTheFirst() {
    List<Reading> r = farm("dead-corner").advance(minute(60));
    double corner =
        r.stream()
            .filter(x -> x.tank().equals("h3") && x.quantity() == Quantity.OXYGEN)
            .filter(x -> x.probe().equals("2") && x.time().isAfter(minute(55)))
            .mapToDouble(Reading::value)
            .average()
            .orElse(Double.NaN);

    assertThat(corner).isLessThan(mean(r, "h3", Quantity.OXYGEN, 55, 60) - 1.0);
  }

  @Test
  void partialLoss_someFlowIsLeftAndOxygenSagsButBends() {
    List<Reading> r = farm("partial-loss").advance(minute(150));

    assertThat(mean(r, "h2", Quantity.GAS_FLOW, 10, 150)).isBetween(5.0, 30.0);
    double first = mean(r, "h2", Quantity.OXYGEN, 10, 12) - mean(r, "h2", Quantity.OXYGEN, 38, 40);
    double later =
        mean(r, "h2", Quantity.OXYGEN, 120, 122) - mean(r, "h2", Quantity.OXYGEN, 148, 150);
    assertThat(first).isGreaterThan(0.5);
    assertThat(later).isLessThan(0.6 * first);
  }

  @Test
  void waterSours_oxygenFallsWithGasAsBefore() {
    List<Reading> r = farm("water-sours").advance(minute(120));

    assertThat(mean(r, "h2", Quantity.GAS_FLOW, 60, 120)).isCloseTo(65.0, within(3.0));
    assertThat(mean(r, "h2", Quantity.OXYGEN, 115, 120))
        .isLessThan(mean(r, "h2", Quantity.OXYGEN, 0, 1) - 1.5);
  }

  @Test
  void probeDrifts_saysLessWhileTheTankHolds() {
    SimulatedFarm farm = farm("probe-drifts");
    List<Reading> r = farm.advance(minute(250));

    assertThat(mean(r, "h2", Quantity.OXYGEN, 245, 250))
        .isCloseTo(farm.truth("h2").oxygenMgPerL() - 2.0, within(0.4));
  }

  @Test
  void probeSilent_saysNothingMoreWhileTheMeterDoes() {
    List<Reading> r = farm("probe-silent").advance(minute(20));

    assertThat(mean(r, "h2", Quantity.OXYGEN, 2, 20)).isNaN();
    assertThat(mean(r, "h2", Quantity.GAS_FLOW, 2, 20)).isCloseTo(65.0, within(3.0));
  }
}
