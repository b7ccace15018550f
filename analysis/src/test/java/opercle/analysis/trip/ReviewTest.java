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
import java.util.Random;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import opercle.analysis.farm.Tank;
import opercle.analysis.gas.Transfer;
import opercle.analysis.stock.Fish;
import opercle.analysis.stock.Species;
import opercle.analysis.water.WaterConditions;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import org.junit.jupiter.api.Test;

class ReviewTest {

  private static final TripLog LOG =
      TripLog.of(loaded(trailer("trip-1")))
          .with(check("c1", 30, Fish.LOW_AND_QUIET, 9.0))
          .with(unloaded("u1", 60));

  /** The same without a check that says what the gas was left at. */
  private static final TripLog UNSEEN = TripLog.of(loaded(trailer("trip-1")));

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
  void handMadeFailure_isFound_withinItsTolerance() {
    Random noise = new Random(7);
    double at = 2017.0;
    double lag = 30.0; // of the probe
    List<Reading> readings =
        readings(
            Quantity.OXYGEN,
            5,
            3600,
            s -> {
              double since = Math.max(0.0, s - at);
              double fallen = since + lag * Math.expm1(-since / lag);
              return 10.0 - 0.2 / 60.0 * fallen + 0.02 * noise.nextGaussian();
            });

    Failure failure = Review.of(LOG, trace(60, readings), List.of()).failure().orElseThrow();

    double off = Duration.between(START.plusSeconds((long) at), failure.at()).toMillis() / 1000.0;
    assertThat(Math.abs(off)).isLessThanOrEqualTo(15.0);
    assertThat(failure.tolerance()).isLessThan(Duration.ofSeconds(60));
    assertThat(failure.slopeAfterMgPerLPerHour()).isCloseTo(-12.0, within(0.5));
  }

  /** At the end the driver shuts the gas, which has nothing to do with a hose that split before. */
  @Test
  void gasShutAtTheEnd_isNoPartOfAFailureLongBefore() {
    Random noise = new Random(7);
    List<Reading> readings =
        new ArrayList<>(
            readings(
                Quantity.OXYGEN,
                5,
                3600,
                s -> 10.0 - 0.2 / 60.0 * Math.max(0.0, s - 2017.0) + 0.02 * noise.nextGaussian()));
    readings.addAll(readings(Quantity.GAS_FLOW, 5, 3600, s -> s < 3300 ? 2.5 : 0.0));

    Failure failure = Review.of(LOG, trace(60, readings), List.of()).failure().orElseThrow();

    assertThat(failure.meterStopped()).isEmpty();
  }

  /** A hose came off, was put on again, and came off once more. */
  @Test
  void twoFailuresOfOneTrip_areBothFound_eachWithItsOwnMomentAndLesson() {
    Random noise = new Random(7);
    double first = 1517.0;
    double mended = 2300.0;
    double second = 5021.0;
    List<Reading> readings =
        readings(
            Quantity.OXYGEN,
            5,
            6600,
            s ->
                10.0
                    - 0.2 / 60.0 * Math.max(0.0, Math.min(s, mended) - first)
                    + 0.3 / 60.0 * Math.max(0.0, Math.min(s, mended + 520.0) - mended)
                    - 0.25 / 60.0 * Math.max(0.0, s - second)
                    + 0.02 * noise.nextGaussian());

    Review review = Review.of(UNSEEN, trace(110, readings), List.of());

    assertThat(review.failures()).hasSize(2);
    assertThat(review.failures())
        .extracting(f -> (double) Duration.between(START, f.at()).toSeconds())
        .anySatisfy(at -> assertThat(at).isCloseTo(first, within(30.0)))
        .anySatisfy(at -> assertThat(at).isCloseTo(second, within(30.0)));
    assertThat(review.lessons())
        .filteredOn(l -> l.words().contains("oxygen began to fall by"))
        .hasSize(2);
  }

  @Test
  void quietTrace_hasNoFailure() {
    Random noise = new Random(3);
    List<Reading> readings =
        readings(
            Quantity.OXYGEN,
            5,
            3600,
            s -> 9.0 + 1.5 * Math.exp(-s / 1800.0) + 0.03 * noise.nextGaussian());

    assertThat(Review.of(LOG, trace(60, readings), List.of()).failure()).isEmpty();
  }

  @Test
  void demand_isReadFromAStretchWithTheGasOff() {
    // 140 kg in 650 L at 60 mg/kg/h take 12.92 mg/L/h; a surface on the road gives some of it back.
    double surface = 0.55 * Math.pow(1.024, -10.0);
    double settles = 11.288 - 60.0 * 140.0 / 650.0 / surface;
    List<Reading> readings =
        new ArrayList<>(
            readings(
                Quantity.OXYGEN,
                5,
                3600,
                s ->
                    s < 1200
                        ? 12.0
                        : settles
                            + (12.0 - settles)
                                * Math.exp(-surface * (Math.min(s, 2400) - 1200) / 3600.0)));
    readings.addAll(readings(Quantity.GAS_FLOW, 5, 3600, s -> s < 1200 || s > 2400 ? 2.5 : 0.0));
    readings.addAll(readings(Quantity.TEMPERATURE, 60, 3600, s -> 10.0));

    MeasuredDemand demand =
        Review.of(UNSEEN, trace(60, readings), List.of()).demand().orElseThrow();

    assertThat(demand.way()).isEqualTo(MeasuredDemand.Way.GAS_OFF);
    assertThat(demand.from()).hasSize(1);
    assertThat(demand.mgPerKgPerHour().likely()).isCloseTo(60.0, within(1.0));
    assertThat(demand.mgPerKgPerHour().low()).isLessThan(60.0);
    assertThat(demand.mgPerKgPerHour().high()).isGreaterThan(60.0);
  }

  /**
   * 140 kg in 650 L at 60 mg/kg/h, in balance with the gas; half of it is turned off after 20 min.
   */
  private static List<Reading> turnedDown() {
    double surface = 0.55 * Math.pow(1.024, -10.0);
    WaterConditions water = new WaterConditions(10.0, 0.0, 101.325);
    Transfer full =
        Transfer.of(Tank.Gas.OXYGEN, Tank.Diffuser.CERAMIC, 0.7, FULL_L_PER_MIN, 650.0, water);
    double kLa = full.kLaPerHour().likely();
    double demand = 60.0 * 140.0 / 650.0;
    double[] oxygen = new double[3601];
    oxygen[0] = (kLa * full.gasSaturationMgPerL() + surface * 11.288 - demand) / (kLa + surface);
    for (int s = 1; s < oxygen.length; s++) {
      double gas = s < 1200 ? kLa : kLa / 2.0;
      double c = oxygen[s - 1];
      oxygen[s] =
          c + (gas * (full.gasSaturationMgPerL() - c) + surface * (11.288 - c) - demand) / 3600.0;
    }
    Random noise = new Random(5);
    List<Reading> readings =
        new ArrayList<>(
            readings(Quantity.OXYGEN, 5, 3600, s -> oxygen[(int) s] + 0.01 * noise.nextGaussian()));
    readings.addAll(readings(Quantity.TEMPERATURE, 60, 3600, s -> 10.0));
    return readings;
  }

  /** What holds these fish at 12 mg/L, by what the diffuser is reckoned to give. */
  private static final double FULL_L_PER_MIN = full();

  private static double full() {
    Transfer one =
        Transfer.of(
            Tank.Gas.OXYGEN,
            Tank.Diffuser.CERAMIC,
            0.7,
            1.0,
            650.0,
            new WaterConditions(10.0, 0.0, 101.325));
    double surface = 0.55 * Math.pow(1.024, -10.0) * (11.288 - 12.0);
    return (60.0 * 140.0 / 650.0 - surface) / one.risePerHour(12.0).likely();
  }

  @Test
  void gasTurnedDown_countsWithWhatStillFlows_andTeachesNoPlan() {
    List<Reading> readings = turnedDown();
    readings.addAll(
        readings(
            Quantity.GAS_FLOW, 5, 3600, s -> s < 1200 ? FULL_L_PER_MIN : FULL_L_PER_MIN / 2.0));

    Review review = Review.of(LOG, trace(60, readings), List.of());

    MeasuredDemand demand = review.demand().orElseThrow();
    assertThat(demand.way()).isEqualTo(MeasuredDemand.Way.AFTER_A_FAILURE);
    assertThat(demand.mgPerKgPerHour().likely()).isCloseTo(60.0, within(6.0));
    assertThat(demand.isSure()).isFalse();
    assertThat(
            LearnedRate.alike(
                PastDemand.of(review).stream().toList(), Species.COMMON_CARP, 2.3, 10.0))
        .isEmpty();
    assertThat(review.failure().orElseThrow().meterFell()).isTrue();
    assertThat(review.lessons())
        .anySatisfy(
            l ->
                assertThat(l.words())
                    .contains("Less gas came: the meter went from")
                    .doesNotContain("showed nothing of it"));
  }

  @Test
  void fallThatNoMeterExplains_tellsNoDemand_forSomeGasMayStillCome() {
    assertThat(Review.of(LOG, trace(60, turnedDown()), List.of()).demand()).isEmpty();
  }

  @Test
  void gasOff_isReadDownToTheCriticalFloorOnly() {
    // Below 3 mg/L the fish take half.
    List<Reading> readings =
        new ArrayList<>(
            readings(
                Quantity.OXYGEN,
                5,
                3600,
                s ->
                    s < 600
                        ? 9.0
                        : s < 2400
                            ? 9.0 - 6.0 * (s - 600.0) / 1800.0
                            : 3.0 - 2.4 * (s - 2400.0) / 1800.0));
    readings.addAll(readings(Quantity.GAS_FLOW, 5, 3600, s -> s < 600 ? 2.5 : 0.0));
    readings.addAll(readings(Quantity.TEMPERATURE, 60, 3600, s -> 10.0));

    MeasuredDemand demand =
        Review.of(UNSEEN, trace(75, readings), List.of()).demand().orElseThrow();

    assertThat(demand.from())
        .singleElement()
        .satisfies(s -> assertThat(s.to()).isEqualTo(START.plusSeconds(2400)));
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
