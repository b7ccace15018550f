// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import static opercle.analysis.trip.MadeTrip.START;
import static opercle.analysis.trip.MadeTrip.loaded;
import static opercle.analysis.trip.MadeTrip.night;
import static opercle.analysis.trip.MadeTrip.readings;
import static opercle.analysis.trip.MadeTrip.trailer;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.DoubleUnaryOperator;
import opercle.analysis.farm.Tank;
import opercle.analysis.stock.Fish;
import opercle.analysis.trip.TripEntry.StopCheck;
import opercle.analysis.watch.TankEvent;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import org.junit.jupiter.api.Test;

/**
 * When a stretch without gas is believed: 140 kg in 650 L at 60 mg/kg/h take 12.92 mg/L/h. Oxygen
 * stands still while gas comes and falls by that while none does.
 */
class GasOffTest {

  private static final double FALL_MG_PER_L_PER_S = 60.0 * 140.0 / 650.0 / 3600.0;

  /** Gas off from 20 to 40 min after the start. */
  private static double oxygen(double s) {
    return 11.288 - FALL_MG_PER_L_PER_S * Math.max(0.0, Math.min(s, 2400.0) - 1200.0);
  }

  private static boolean isOff(double s) {
    return s >= 1200.0 && s <= 2400.0;
  }

  private static double live(double s) {
    return isOff(s) ? 0.0 : 2.5;
  }

  private static List<Reading> measured(DoubleUnaryOperator oxygen, DoubleUnaryOperator meter) {
    List<Reading> readings = new ArrayList<>(readings(Quantity.OXYGEN, 5, 5400, oxygen));
    readings.addAll(readings(Quantity.GAS_FLOW, 5, 5400, meter));
    readings.addAll(readings(Quantity.TEMPERATURE, 60, 5400, s -> 10.0));
    return readings;
  }

  private static Review review(Trip trip, List<Reading> readings, List<TankEvent> events) {
    return Review.of(
        TripLog.of(loaded(trip)),
        new TripTrace(START, START.plusSeconds(5400), readings, List.of(), events),
        List.of());
  }

  private static Review review(List<Reading> readings, TankEvent... events) {
    return review(trailer("trip-1"), readings, List.of(events));
  }

  private static TankEvent event(TankEvent.Kind kind, long minutes) {
    return new TankEvent("t1", kind, START.plusSeconds(60 * minutes));
  }

  private static void assertSure(Review review) {
    MeasuredDemand demand = review.demand().orElseThrow();
    assertThat(demand.way()).isEqualTo(MeasuredDemand.Way.GAS_OFF);
    assertThat(demand.mgPerKgPerHour().likely())
        .isCloseTo(60.0, within(5.0)); // and what the air gives
    assertThat(review.unmeasured()).isEmpty();
    assertThat(PastDemand.of(review)).isPresent();
  }

  private static void assertRefused(Review review, String why) {
    assertThat(review.demand().filter(MeasuredDemand::isSure)).isEmpty();
    assertThat(review.unmeasured()).anySatisfy(words -> assertThat(words).contains(why));
  }

  @Test
  void livingMeter_isBelieved() {
    assertSure(review(measured(GasOffTest::oxygen, GasOffTest::live)));
  }

  @Test
  void freshWaterThatRunsThrough_isNotMeasuredThrough() {
    Tank.Holding running =
        new Tank.Holding(
            OptionalDouble.empty(),
            Map.of(),
            OptionalDouble.of(200.0),
            OptionalDouble.empty(),
            OptionalDouble.empty());
    TripTank was = night("n").tank();
    Tank tank =
        new Tank(
            was.id(),
            was.name(),
            Tank.Kind.HOLDING,
            was.waterLitres(),
            was.depthM(),
            was.supply(),
            night("n").load(),
            Optional.empty(),
            OptionalDouble.empty(),
            running);

    Review review =
        review(
            night("n").withTank(TripTank.of(tank, 0.0)),
            measured(GasOffTest::oxygen, GasOffTest::live),
            List.of());

    assertRefused(review, "Fresh water ran through the tank, 200 L/h");
    assertThat(review.demand()).isEmpty();
  }

  @Test
  void meterThatNeverShowedGas_isNotBelieved() {
    assertRefused(
        review(measured(GasOffTest::oxygen, s -> 0.0)),
        "showed no gas from first to last, so it may be dead");
  }

  /** Gas went on, oxygen sank a little by the warmth of the day, and the meter's cable was off. */
  @Test
  void meterThatDiedWhileOxygenWentOn_isNotBelieved() {
    assertRefused(
        review(measured(s -> 11.0 - s / 3600.0, GasOffTest::live)),
        "At 09:21 the gas meter showed no gas, but oxygen did not change with it");
  }

  @Test
  void meterThatFallsSilent_saysNothingOfTheTimeAfter() {
    List<Reading> readings =
        measured(GasOffTest::oxygen, GasOffTest::live).stream()
            .filter(
                r ->
                    r.quantity() != Quantity.GAS_FLOW
                        || !r.time().isAfter(START.plusSeconds(1400))
                        || r.time().isAfter(START.plusSeconds(2600)))
            .toList();

    assertRefused(review(readings), "At 09:23 the gas meter fell silent");
  }

  @Test
  void secondMeterThatShowsGas_speaksAgainstTheFirst() {
    List<Reading> readings = measured(GasOffTest::oxygen, GasOffTest::live);
    readings(Quantity.GAS_FLOW, 5, 5400, s -> 1.0)
        .forEach(r -> readings.add(new Reading("t1", r.quantity(), "2", r.time(), r.value())));

    assertRefused(review(readings), "one gas meter showed no gas; another did, or was silent");
  }

  @Test
  void checkThatSaysThatGasWasOn_speaksAgainstTheMeter() {
    Review review =
        Review.of(
            TripLog.of(loaded(trailer("trip-1")))
                .with(MadeTrip.check("c", 30, Fish.LOW_AND_QUIET, 9.0)),
            new TripTrace(
                START,
                START.plusSeconds(5400),
                measured(GasOffTest::oxygen, GasOffTest::live),
                List.of(),
                List.of()),
            List.of());

    assertRefused(review, "At 09:30 a check says that gas was on, and the meter showed none");
  }

  @Test
  void fishThatWereTakenOutBefore_makeTheLoadUnknown() {
    List<Reading> readings = measured(GasOffTest::oxygen, GasOffTest::live);

    assertRefused(
        review(readings, event(TankEvent.Kind.FISH_REMOVED, 10)),
        "At 09:10 fish were put in or taken out");
    assertRefused(
        review(readings, event(TankEvent.Kind.FISH_REMOVED, 25)),
        "nobody knows how many breathed from then on");
    assertRefused(
        review(readings, event(TankEvent.Kind.FISH_ADDED, 18)), "fish were put in or taken out");
  }

  @Test
  void fishThatWerePutInAtTheLoading_orTakenOutAfterwards_doNotMatter() {
    List<Reading> readings = measured(GasOffTest::oxygen, GasOffTest::live);

    assertSure(review(readings, event(TankEvent.Kind.FISH_ADDED, 3)));
    assertSure(review(readings, event(TankEvent.Kind.FISH_REMOVED, 60)));
  }

  @Test
  void waterThatWasChanged_isNotMeasuredThrough() {
    List<Reading> readings = measured(GasOffTest::oxygen, GasOffTest::live);

    assertRefused(
        review(readings, event(TankEvent.Kind.WATER_CHANGED, 30)), "At 09:30 water was changed");
    assertSure(review(readings, event(TankEvent.Kind.WATER_CHANGED, 80)));
  }

  /** Whoever unloads shuts the gas, nets the fish, and then says that they are out. */
  @Test
  void gasThatStaysOffToTheUnloading_countsOnlyUntilFishMayBeNetted() {
    DoubleUnaryOperator shut = s -> s < 2700.0 ? 2.5 : 0.0;
    DoubleUnaryOperator netted =
        s ->
            11.288
                - FALL_MG_PER_L_PER_S * Math.max(0.0, Math.min(s, 3600.0) - 2700.0)
                - 0.3 * FALL_MG_PER_L_PER_S * Math.max(0.0, s - 3600.0);

    Review early = review(measured(netted, shut));
    MeasuredDemand demand = early.demand().orElseThrow();
    assertThat(demand.way()).isEqualTo(MeasuredDemand.Way.GAS_OFF);
    assertThat(demand.mgPerKgPerHour().likely()).isCloseTo(60.0, within(5.0));
    assertThat(demand.from())
        .allSatisfy(s -> assertThat(s.to()).isBeforeOrEqualTo(START.plusSeconds(3600)));

    assertRefused(
        review(
            measured(
                s -> 11.288 - 0.3 * FALL_MG_PER_L_PER_S * Math.max(0.0, s - 4500.0),
                s -> s < 4500.0 ? 2.5 : 0.0)),
        "Fish may have been netted out in the last 30 min, so those do not count");
  }

  @Test
  void tankWithoutGas_isBelieved_unlessSomebodySaysThatItHadSome() {
    Trip road = trailer("none");
    Tank.Supply none =
        new Tank.Supply(
            Tank.Gas.AIR, Tank.Source.BLOWER, Tank.Diffuser.AIR_STONE, 0.0, Optional.empty());
    TripTank was = road.tank();
    Trip trip =
        road.withTank(
            new TripTank(
                was.id(),
                was.name(),
                was.waterLitres(),
                was.depthM(),
                none,
                was.surface(),
                was.airPressureKPa(),
                0.0,
                0.0,
                0.0));
    List<Reading> readings =
        new ArrayList<>(
            readings(
                Quantity.OXYGEN, 5, 5400, s -> 16.0 - FALL_MG_PER_L_PER_S * Math.min(s, 3600.0)));
    readings.addAll(readings(Quantity.TEMPERATURE, 60, 5400, s -> 10.0));
    StopCheck check = MadeTrip.check("c", 30, Fish.LOW_AND_QUIET, 9.0);
    TripTrace trace = new TripTrace(START, START.plusSeconds(5400), readings, List.of(), List.of());

    Review quiet = Review.of(TripLog.of(loaded(trip)), trace, List.of());
    Review told = Review.of(TripLog.of(loaded(trip)).with(check), trace, List.of());
    Review changed = review(trip, readings, List.of(event(TankEvent.Kind.GAS_CHANGED, 20)));

    assertThat(quiet.demand().orElseThrow().way()).isEqualTo(MeasuredDemand.Way.GAS_OFF);
    assertRefused(told, "At 09:30 a check says that gas was on");
    assertRefused(changed, "The gas was changed meanwhile, and no meter says to what");
  }
}
