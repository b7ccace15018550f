// SPDX-License-Identifier: Apache-2.0
package opercle.simulator;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import opercle.analysis.farm.Tank;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.simulator.probe.Fittings;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

class SimulatedNightTest {

  private static double criticalFloor(SimulatedNight night) {
    return night
        .farm()
        .tank(night.tank())
        .map(t -> t.floorsInForce().criticalMgPerL())
        .orElse(Double.NaN);
  }

  @ParameterizedTest
  @EnumSource(NightKind.class)
  void everyKind_givesANightOfPlausibleReadingsWithAnOnsetInIt(NightKind kind) {
    SimulatedNight night = new SimulatedNight(31L, kind);

    List<Reading> readings = night.rest();
    Truth truth = night.truth();

    assertThat(readings)
        .hasSizeGreaterThan(5_000)
        .allMatch(r -> r.quantity().isPlausible(r.value()));
    assertThat(truth.kind()).isEqualTo(kind);
    assertThat(truth.onset().isPresent()).isEqualTo(kind != NightKind.QUIET);
    truth.onset().ifPresent(t -> assertThat(t).isBetween(night.start(), night.end()));
    assertThat(truth.knownUntil()).isAfterOrEqualTo(night.end().plus(Duration.ofHours(5)));
  }

  @ParameterizedTest
  @EnumSource(NightKind.class)
  void everyKind_sameSeedHoweverPlayed_sameNight(NightKind kind) {
    SimulatedNight.Options twoHours =
        new SimulatedNight.Options(Duration.ofHours(2), Optional.empty());
    SimulatedNight whole = new SimulatedNight(32L, kind, twoHours);
    SimulatedNight pieces = new SimulatedNight(32L, kind, twoHours);
    List<Reading> cut = new ArrayList<>();
    while (pieces.now().isBefore(pieces.end())) {
      cut.addAll(pieces.next(Duration.ofMillis(617_003)));
    }

    assertThat(cut).isEqualTo(whole.rest());
    assertThat(pieces.truth().onset()).isEqualTo(whole.truth().onset());
  }

  @ParameterizedTest
  @EnumSource(NightKind.class)
  void harmlessKinds_neverReachTheCriticalFloorInTheNight(NightKind kind) {
    for (long seed = 40; seed < 43 && !kind.isFault(); seed++) {
      SimulatedNight night = new SimulatedNight(seed, kind);
      Optional<Instant> harmed = night.truth().reaches(criticalFloor(night), night.start());

      assertThat(harmed.filter(t -> t.isBefore(night.end()))).as("seed %s", seed).isEmpty();
    }
  }

  /** A supply that is lost altogether must end badly, or there is nothing to detect. */
  @ParameterizedTest
  @EnumSource(
      names = {
        "LINE_STOPS",
        "SPLIT_BEFORE_METER",
        "CYLINDER_RUNS_OUT",
        "DIFFUSER_BLOCKS",
        "LINE_STOPS_WHILE_LINK_IS_DOWN"
      })
  void supplyLost_oxygenStandsAboveTheFloorAtOnsetAndReachesItLater(NightKind kind) {
    for (long seed = 50; seed < 54; seed++) {
      SimulatedNight night = new SimulatedNight(seed, kind);
      Truth truth = night.truth();
      Instant onset = truth.onset().orElseThrow();

      assertThat(truth.oxygenMgPerL(onset)).isGreaterThan(criticalFloor(night) + 2.0);
      assertThat(truth.minutesToFloor(criticalFloor(night), onset).orElse(Double.NaN))
          .as("%s, seed %s", kind, seed)
          .isBetween(3.0, 15.0 * 60.0);
    }
  }

  @Test
  void blowerStops_neighboursFallToo() {
    SimulatedNight night = new SimulatedNight(60L, NightKind.BLOWER_STOPS);
    List<Reading> readings = night.rest();
    Instant after = night.truth().onset().orElseThrow().plusSeconds(120);

    Set<String> tanks = readings.stream().map(Reading::tank).collect(Collectors.toSet());
    assertThat(tanks).containsExactlyInAnyOrder("n1", "n2", "n3");
    assertThat(
            readings.stream()
                .filter(r -> r.quantity() == Quantity.GAS_FLOW && r.time().isAfter(after))
                .filter(r -> r.value() > 0.0)
                .mapToDouble(Reading::value)
                .average()
                .orElse(0.0))
        .isLessThan(1.0);
  }

  @Test
  void options_fittings_areThoseOfTheNight() {
    Fittings blind = new Fittings(1, false, false, false, 30.0, 60.0, 0.1);
    SimulatedNight night =
        new SimulatedNight(
            61L,
            NightKind.LINE_STOPS,
            new SimulatedNight.Options(Duration.ofHours(3), Optional.of(blind)));

    List<Reading> readings = night.rest();

    assertThat(EnumSet.copyOf(readings.stream().map(Reading::quantity).toList()))
        .containsExactlyInAnyOrder(Quantity.OXYGEN, Quantity.TEMPERATURE);
    long oxygen = readings.stream().filter(r -> r.quantity() == Quantity.OXYGEN).count();
    assertThat((double) oxygen).isCloseTo(360.0, within(15.0));
  }

  @Test
  void seeds_drawUnlikeTanksOnsetsAndInstruments() {
    Set<Double> litres =
        java.util.stream.LongStream.range(0, 20)
            .mapToObj(seed -> new SimulatedNight(seed, NightKind.LINE_STOPS))
            .flatMap(night -> night.farm().tanks().stream())
            .map(Tank::waterLitres)
            .collect(Collectors.toSet());

    assertThat(litres).hasSizeGreaterThan(15);
  }

  @Test
  void truth_outsideWhatIsKnown_isRefused() {
    SimulatedNight night = new SimulatedNight(62L, NightKind.QUIET);
    Truth truth = night.truth();

    assertThatThrownBy(() -> truth.oxygenMgPerL(night.start().minusSeconds(1)))
        .hasMessageContaining("n1");
  }

  @Test
  void truth_minutesToFloor_countsFromTheInstantAsked() {
    SimulatedNight night = new SimulatedNight(63L, NightKind.LINE_STOPS);
    Truth truth = night.truth();
    Instant onset = truth.onset().orElseThrow();
    double atOnset = truth.minutesToFloor(4.0, onset).orElse(Double.NaN);
    double later = truth.minutesToFloor(4.0, onset.plusSeconds(120)).orElse(Double.NaN);

    assertThat(atOnset - later).isCloseTo(2.0, within(0.001));
    Instant there = truth.reaches(4.0, onset).orElseThrow();
    assertThat(truth.oxygenMgPerL(there)).isCloseTo(4.0, within(0.1));
  }

  @Test
  void minutesInHand_afterTheFault_agreeWithWhatThenHappened() {
    SimulatedNight night = new SimulatedNight(63L, NightKind.LINE_STOPS);
    SimulatedNight asked = new SimulatedNight(63L, NightKind.LINE_STOPS);
    Truth truth = night.truth();
    Instant later = truth.onset().orElseThrow().plusSeconds(60);
    asked.next(Duration.between(asked.start(), later));

    double foretold = asked.minutesInHand(4.0, false, Duration.ofHours(12)).orElse(Double.NaN);
    double ifStopped = asked.minutesInHand(4.0, true, Duration.ofHours(12)).orElse(Double.NaN);

    assertThat(foretold).isCloseTo(truth.minutesToFloor(4.0, later).orElse(-1.0), within(0.2));
    assertThat(ifStopped).isCloseTo(foretold, within(0.01));
  }

  /**
   * Ordinary wander sets the rate of false alarms, so a quiet night must have some: the detection
   * note reckons with 0.05 to 0.3 mg/L over an hour. Here: standard deviation about the hour's own
   * straight line, whole tank.
   */
  @Test
  void quietNights_wanderAsTanksDo() {
    List<Double> wander = new ArrayList<>();
    for (long seed = 70; seed < 90; seed++) {
      SimulatedNight night = new SimulatedNight(seed, NightKind.QUIET);
      Truth truth = night.truth();
      double worst = 0.0;
      for (int hour = 0; hour < 12; hour++) {
        worst = Math.max(worst, aboutItsLine(truth, night.start().plus(Duration.ofHours(hour))));
      }
      wander.add(worst);
    }
    wander.sort(null);

    assertThat(wander.get(10)).as("median of the worst hours").isBetween(0.03, 0.3);
    assertThat(wander.get(19)).as("worst of all").isBetween(0.1, 1.2);
  }

  private static double aboutItsLine(Truth truth, Instant from) {
    int n = 61;
    double mean = 0.0;
    double slope = 0.0;
    double squares = 0.0;
    for (int i = 0; i < n; i++) {
      double x = truth.oxygenMgPerL(from.plusSeconds(60L * i));
      mean += x / n;
      slope += (i - 30) * x;
      squares += x * x;
    }
    double sumOfSquaredMinutes = n * (n * n - 1) / 12.0;
    double left = squares - n * mean * mean - slope * slope / sumOfSquaredMinutes;
    return Math.sqrt(Math.max(0.0, left) / n);
  }
}
