// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import static opercle.analysis.trip.MadeTrip.START;
import static opercle.analysis.trip.MadeTrip.loaded;
import static opercle.analysis.trip.MadeTrip.readings;
import static opercle.analysis.trip.MadeTrip.trace;
import static opercle.analysis.trip.MadeTrip.trailer;
import static opercle.analysis.trip.ReviewTest.LOG;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import opercle.analysis.farm.Tank;
import opercle.analysis.gas.Transfer;
import opercle.analysis.stock.Species;
import opercle.analysis.water.WaterConditions;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import org.junit.jupiter.api.Test;

/** What a review finds in a trip's trace: failures of the gas, and what the fish breathe. */
class ReviewFindingsTest {

  /** A trip without a check that says what the gas was left at. */
  private static final TripLog UNSEEN = TripLog.of(loaded(trailer("trip-1")));

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
}
