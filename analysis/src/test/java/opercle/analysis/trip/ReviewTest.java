// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import static opercle.analysis.trip.MadeTrip.START;
import static opercle.analysis.trip.MadeTrip.check;
import static opercle.analysis.trip.MadeTrip.loaded;
import static opercle.analysis.trip.MadeTrip.reading;
import static opercle.analysis.trip.MadeTrip.readings;
import static opercle.analysis.trip.MadeTrip.trace;
import static opercle.analysis.trip.MadeTrip.trailer;
import static opercle.analysis.trip.MadeTrip.unloaded;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.tuple;
import static org.assertj.core.api.Assertions.within;
import static org.assertj.core.api.Assertions.withinPercentage;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import opercle.analysis.stock.Fish;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import org.junit.jupiter.api.Test;

class ReviewTest {

  static final TripLog LOG =
      TripLog.of(loaded(trailer("trip-1")))
          .with(check("c1", 30, Fish.LOW_AND_QUIET, 9.0))
          .with(unloaded("u1", 60));

  private static OxygenFigures oxygen(long minutes, List<Reading> readings) {
    return Review.of(LOG, trace(minutes, readings), List.of()).oxygen().orElseThrow();
  }

  @Test
  void minutesBelow_areCountedToTheSample_andOnTheFloorIsNotBelow() {
    List<Reading> readings =
        readings(
            Quantity.OXYGEN, 10, 3600, s -> s < 1000 ? 9.0 : s < 1200 ? 6.0 : s < 1300 ? 5.9 : 9.0);

    OxygenFigures figures = oxygen(60, readings);

    assertThat(figures.belowKeep()).isEqualTo(Duration.ofSeconds(100));
    assertThat(figures.belowCritical()).isZero();
    assertThat(figures.lowestMgPerL()).isEqualTo(5.9);
    assertThat(figures.lowestAt()).isEqualTo(START.plusSeconds(1200));
    assertThat(figures.known()).isEqualTo(Duration.ofMinutes(60));
    assertThat(figures.gaps()).isEmpty();
  }

  @Test
  void gap_isUnknown_andTheReadingBeforeItSpeaksForOneInterval() {
    List<Reading> readings = new ArrayList<>(readings(Quantity.OXYGEN, 10, 600, s -> 5.0));
    readings.addAll(
        readings(Quantity.OXYGEN, 10, 3600, s -> 9.0).stream()
            .filter(r -> !r.time().isBefore(START.plusSeconds(1200)))
            .toList());

    OxygenFigures figures = oxygen(60, readings);

    assertThat(figures.belowKeep()).isEqualTo(Duration.ofSeconds(610));
    assertThat(figures.gaps())
        .containsExactly(new OxygenFigures.Gap(START.plusSeconds(610), START.plusSeconds(1200)));
    assertThat(figures.known().plus(figures.unknown())).isEqualTo(Duration.ofMinutes(60));
  }

  @Test
  void threeIntervals_areNoGap() {
    List<Reading> readings = new ArrayList<>(readings(Quantity.OXYGEN, 60, 3600, s -> 5.0));
    readings.removeIf(
        r -> r.time().equals(START.plusSeconds(600)) || r.time().equals(START.plusSeconds(660)));

    assertThat(oxygen(60, readings).belowKeep()).isEqualTo(Duration.ofMinutes(60));
  }

  @Test
  void silenceAtBothEnds_isUnknown() {
    List<Reading> readings =
        readings(Quantity.OXYGEN, 10, 3600, s -> 9.0).stream()
            .filter(r -> r.time().isAfter(START.plusSeconds(599)))
            .filter(r -> r.time().isBefore(START.plusSeconds(3001)))
            .toList();

    assertThat(oxygen(60, readings).gaps())
        .containsExactly(
            new OxygenFigures.Gap(START, START.plusSeconds(600)),
            new OxygenFigures.Gap(START.plusSeconds(3010), START.plusSeconds(3600)));
  }

  @Test
  void probeThatSawTheWorst_isTheOneThatCounts() {
    List<Reading> readings = new ArrayList<>(readings(Quantity.OXYGEN, 10, 3600, s -> 9.0));
    readings(Quantity.OXYGEN, 10, 3600, s -> s < 50 ? 5.0 : 8.0)
        .forEach(r -> readings.add(new Reading("t1", r.quantity(), "far", r.time(), r.value())));

    assertThat(oxygen(60, readings).probe()).isEqualTo("far");
  }

  @Test
  void supersaturation_isCountedAgainstTheTemperature() {
    List<Reading> readings =
        new ArrayList<>(readings(Quantity.OXYGEN, 10, 3600, s -> s < 600 ? 24.0 : 12.0));
    readings.addAll(readings(Quantity.TEMPERATURE, 60, 3600, s -> 10.0));

    OxygenFigures figures = oxygen(60, readings);

    assertThat(figures.aboveUpper()).isEqualTo(Duration.ofMinutes(10)); // 200 % is 22.58 mg/L
    assertThat(figures.highestPercent().orElseThrow()).isCloseTo(100 * 24.0 / 11.288, within(0.1));
  }

  @Test
  void gas_isCountedByTheMeter_andTheCylinderByTheGauge() {
    List<Reading> readings = readings(Quantity.GAS_FLOW, 10, 3600, s -> 2.5);

    GasFigures gas = Review.of(LOG, trace(60, readings), List.of()).gas();

    assertThat(gas.usedLitres().orElseThrow()).isCloseTo(150.0, within(1e-9));
    assertThat(gas.barAtStart()).isEqualTo(OptionalDouble.of(180.0));
    assertThat(gas.barAtEnd()).isEqualTo(OptionalDouble.of(150.0));
    assertThat(gas.barAtEndIsReckoned()).isFalse();
  }

  @Test
  void gas_byTheGauge_countsBothCylinders_whereOneWasChanged() {
    List<Reading> changed =
        readings(Quantity.CYLINDER_PRESSURE, 60, 7200, s -> s < 3600 ? 180 - s / 24 : 290 - s / 40);
    TripLog log =
        TripLog.of(loaded(trailer("changed"))).with(unloadedAt(120, OptionalDouble.of(110.0)));

    GasFigures gas = Review.of(log, trace(120, changed), List.of()).gas();

    // 180 to 30 bar, then 200 to 110: 240 bar of a 20 L bottle, by Boyle's law about 4,700 L.
    assertThat(gas.usedLitres().orElseThrow()).isCloseTo(240 * 20 / 1.01325, withinPercentage(12));
  }

  @Test
  void gas_ofARiseThatNoGaugeSaw_isNotKnown() {
    TripLog log =
        TripLog.of(loaded(trailer("rise"))).with(unloadedAt(60, OptionalDouble.of(210.0)));

    assertThat(Review.of(log, trace(60, List.of()), List.of()).gas().usedLitres()).isEmpty();
  }

  @Test
  void cylindersEnd_isNotReckoned_whereTheMeterWasSilent() {
    List<Reading> half = readings(Quantity.GAS_FLOW, 10, 1800, s -> 2.5);
    TripLog log = TripLog.of(loaded(trailer("half"))).with(unloadedAt(60, OptionalDouble.empty()));

    GasFigures gas = Review.of(log, trace(60, half), List.of()).gas();

    assertThat(gas.usedLitres()).isPresent();
    assertThat(gas.barAtEnd()).isEmpty();
  }

  private static TripEntry.Unloaded unloadedAt(long minutes, OptionalDouble bar) {
    TripEntry.Unloaded out = MadeTrip.unloaded("out", minutes);
    return new TripEntry.Unloaded(
        out.id(), out.time(), out.by(), out.corrects(), List.of(), bar, "");
  }

  @Test
  void percentProbe_isKeptWhereATemperatureIsNear_andTheRestIsAGap() {
    List<Reading> readings = new ArrayList<>();
    readings.addAll(readings(Quantity.OXYGEN_SATURATION, 10, 7200, s -> 40.0));
    readings.addAll(readings(Quantity.TEMPERATURE, 10, 6000, s -> 10.0));

    OxygenFigures figures = oxygen(120, readings);

    assertThat(figures.lowestMgPerL()).isCloseTo(0.4 * 11.288, within(0.01));
    assertThat(figures.unknown()).isBetween(Duration.ofMinutes(5), Duration.ofMinutes(20));
  }

  @Test
  void checkThatWasWrittenDownAtTheTank_countsAsOneOfTheTripsOwn() {
    TripTrace plain = trace(60, readings(Quantity.OXYGEN, 10, 3600, s -> 10.1));
    TripEntry.StopCheck byHand =
        new TripEntry.StopCheck(
            "hand-1",
            plain.from().plusSeconds(1800),
            "Tove",
            Optional.empty(),
            Fish.GASPING,
            OptionalDouble.of(7.1),
            OptionalDouble.empty(),
            OptionalDouble.empty(),
            "");

    Review review =
        Review.of(
            LOG,
            new TripTrace(
                plain.from(),
                plain.to(),
                plain.readings(),
                plain.alarms(),
                plain.events(),
                List.of(byHand)),
            List.of());

    assertThat(review.checks()).contains(byHand);
    assertThat(review.meters())
        .anySatisfy(m -> assertThat(m.probeReadsHighBy()).isCloseTo(3.0, within(1e-9)));
    assertThat(review.lessons())
        .anySatisfy(l -> assertThat(l.words()).contains("the fish were at the surface, gasping"));
  }

  @Test
  void probe_isHeldAgainstTheHandMeter() {
    Review review =
        Review.of(LOG, trace(60, readings(Quantity.OXYGEN, 10, 3600, s -> 10.1)), List.of());

    assertThat(review.meters())
        .singleElement()
        .satisfies(m -> assertThat(m.probeReadsHighBy()).isCloseTo(1.1, within(1e-9)));
    assertThat(review.lessons())
        .anySatisfy(
            l -> {
              assertThat(l.words()).contains("1.1 mg/L higher than the hand meter");
              assertThat(l.value()).isCloseTo(1.1, within(1e-9));
            });
  }

  @Test
  void alarmThatStoodAtLoading_thatGotWorse_andWhoTookIt_areAllTold() {
    List<AlarmEvent> alarms =
        List.of(
            alarm(-600, AlarmEvent.Kind.RAISED, AlarmState.UNACKNOWLEDGED, Optional.empty()),
            alarm(900, AlarmEvent.Kind.ESCALATED, AlarmState.UNACKNOWLEDGED, Optional.empty()),
            alarm(960, AlarmEvent.Kind.ACKNOWLEDGED, AlarmState.ACKNOWLEDGED, Optional.of("Tove")));
    TripTrace plain = trace(60, readings(Quantity.OXYGEN, 10, 3600, s -> 9.0));

    List<WatchSaw> saw =
        Review.of(
                LOG,
                new TripTrace(plain.from(), plain.to(), plain.readings(), alarms, List.of()),
                List.of())
            .watch();

    assertThat(saw)
        .extracting(WatchSaw::at, WatchSaw::what)
        .containsExactly(
            tuple(START, WatchSaw.What.STOOD),
            tuple(START.plusSeconds(900), WatchSaw.What.TOLD),
            tuple(START.plusSeconds(960), WatchSaw.What.TAKEN));
    assertThat(saw.get(2).message()).startsWith("Tove said that they have it");
  }

  private static AlarmEvent alarm(
      long second, AlarmEvent.Kind kind, AlarmState state, Optional<String> by) {
    return new AlarmEvent(
        START.plusSeconds(second),
        "t1",
        AlarmCause.OXYGEN_LOW,
        kind,
        Priority.MEDIUM,
        state,
        OptionalDouble.empty(),
        OptionalDouble.empty(),
        "Trailer tank: oxygen is low.",
        START.minusSeconds(600),
        state.callsSomebody(),
        by,
        Optional.empty(),
        Optional.empty(),
        List.of());
  }

  @Test
  void traceWithoutOxygen_isReviewedAllTheSame() {
    Review review =
        Review.of(LOG, trace(60, List.of(reading(Quantity.TEMPERATURE, 5, 10.0))), List.of());

    assertThat(review.oxygen()).isEmpty();
    assertThat(review.lessons())
        .as("what nobody saw did not go well")
        .anySatisfy(l -> assertThat(l.words()).contains("Nothing is known of the oxygen"));
    assertThat(review.demand()).isEmpty();
    assertThat(review.failure()).isEmpty();
  }
}
