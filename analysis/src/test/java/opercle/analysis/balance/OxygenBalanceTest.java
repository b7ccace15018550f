// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.balance;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.util.stream.Stream;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import opercle.analysis.Band;
import opercle.analysis.ReferenceTable;
import opercle.analysis.farm.Tank.Gas;
import opercle.analysis.gas.GasDensity;
import opercle.analysis.gas.GasFlow;
import opercle.analysis.stock.Feeding;
import opercle.analysis.stock.HandlingStress;
import opercle.analysis.stock.OxygenDemand;
import opercle.analysis.stock.Species;
import opercle.analysis.water.BensonKrause1984;
import opercle.analysis.water.WaterConditions;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

class OxygenBalanceTest {

  private static double saturation(double temperatureC) {
    return new BensonKrause1984().saturationMgPerL(WaterConditions.fresh(temperatureC));
  }

  static Stream<ReferenceTable.Row> examples() {
    return ReferenceTable.rows("mass_balance_examples");
  }

  /** Regression: the worked examples, printed to a tenth of a minute, one of them "never". */
  @ParameterizedTest
  @MethodSource("examples")
  void timeToFloor_matchesEveryWorkedExample(ReferenceTable.Row row) {
    double demand = row.number("demand_mg_kg_h") * row.number("biomass_kg") / row.number("water_L");
    double minutes =
        TimeToFloor.minutes(
            row.number("C0_mg_L"),
            row.number("Ccrit_mg_L"),
            row.number("kLa_1_h"),
            saturation(row.number("temp_C")),
            demand);

    assertThat(demand).isCloseTo(row.number("D_mg_L_h"), within(0.0005));
    if (row.text("time_min").equals("never")) {
      assertThat(minutes).isInfinite();
    } else {
      assertThat(minutes).isCloseTo(row.number("time_min"), within(0.051));
    }
  }

  @Test
  void workedExamples_areTwelveWithOneNever() {
    assertThat(examples()).hasSize(12);
    assertThat(examples().filter(r -> r.text("time_min").equals("never"))).hasSize(1);
  }

  /**
   * Validation against an observed outcome: in an institute's trial 1 kg of carp in 2 L of water
   * above 10 °C was dead in 20 minutes. With our own demand for freshly handled carp, down to 1
   * mg/L; within 30 %.
   */
  @Test
  void carpWithoutGas_lastAsLongAsInTheTrial() {
    double routine =
        OxygenDemand.routineMgPerKgPerHour(Species.COMMON_CARP, 1.0, 10.0).likely() * 1.0 / 2.0;
    HandlingStress stress = HandlingStress.CAREFUL;
    FadingDemand demand =
        new FadingDemand(routine, stress.peak().likely(), stress.fadeHours().likely());

    double minutes =
        demand.minutesToFloor(saturation(10.0), 1.0, Exchange.surfaceOnly(0.0, saturation(10.0)));

    assertThat(minutes).isCloseTo(20.0, within(0.3 * 20.0));
  }

  /** Regression: steady states with a constant supply; S2 is below zero, so cannot hold. */
  @ParameterizedTest
  @MethodSource("steadyRows")
  void steady_matchesEveryWorkedExample(ReferenceTable.Row row) {
    double demand = row.number("demand_mg_kg_h") * row.number("biomass_kg") / row.number("water_L");
    double supply =
        1000.0
            * GasDensity.OXYGEN_AT_15_C_G_PER_L
            * row.number("O2_flow_L_min")
            * 60.0
            * row.number("OTE")
            / row.number("water_L");
    Exchange surface =
        Exchange.surfaceOnly(row.number("kLa_1_h"), saturation(row.number("temp_C")));

    assertThat(supply).isCloseTo(row.number("S_mg_L_h"), within(0.0051));
    assertThat(OxygenBalance.steadyMgPerL(surface, demand - supply))
        .isCloseTo(row.number("Css_mg_L"), within(0.0051));
  }

  static Stream<ReferenceTable.Row> steadyRows() {
    return ReferenceTable.rows("mass_balance_steady");
  }

  /** The trade's litre a minute for 100 kg of carp at 10 °C: what share must be taken up. */
  @Test
  void tradeRule_needsTheShareOfTheCrossCheckTable() {
    assertThat(ReferenceTable.rows("oxygen_flow_cross_check"))
        .hasSize(5)
        .allSatisfy(
            row -> {
              double fed = 60.0 * GasFlow.oxygenMgPerMin(Gas.OXYGEN, row.number("flow_L_min"));
              double needed = row.number("demand_mg_kg_h") * row.number("fish_kg");
              assertThat(100.0 * needed / fed)
                  .isCloseTo(row.number("needed_absorption_percent"), within(0.06));
            });
  }

  @Test
  void steady_withoutExchange_isRefused() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> OxygenBalance.steadyMgPerL(Exchange.surfaceOnly(0.0, 10.0), 1.0))
        .withMessageContaining("exchange above 0 1/h");
  }

  @Test
  void gasToHold_aboveWhatTheGasCanGive_isInfinite() {
    Exchange air = new Exchange(0.0, 11.0, 0.1, 11.0);

    assertThat(OxygenBalance.gasPerHourToHold(11.5, air, 2.0)).isInfinite();
    assertThat(OxygenBalance.gasPerHourToHold(6.0, air, 0.1)).isZero();
  }

  @Property
  void gasToHold_holdsTheLevel(
      @ForAll @DoubleRange(min = 5.0, max = 20.0) double level,
      @ForAll @DoubleRange(min = 0.0, max = 1.0) double surface,
      @ForAll @DoubleRange(min = 12.0, max = 60.0) double demand) {
    Exchange without = new Exchange(0.0, 54.0, surface, 11.0);
    double gas = OxygenBalance.gasPerHourToHold(level, without, demand);
    Exchange with = new Exchange(gas, 54.0, surface, 11.0);

    assertThat(OxygenBalance.steadyMgPerL(with, demand)).isCloseTo(level, within(1e-9));
    assertThat(with.rateMgPerLPerHour(level)).isCloseTo(demand, within(1e-9));
  }

  @Test
  void exchange_aboveAirSaturation_carriesOxygenOut() {
    assertThat(Exchange.surfaceOnly(0.5, 10.0).rateMgPerLPerHour(14.0)).isEqualTo(-2.0);
  }

  /** Mass balance: what came in less what was taken is the change, stepwise and in closed form. */
  @Property(tries = 100)
  void oxygen_isConserved(
      @ForAll @DoubleRange(min = 2.0, max = 20.0) double start,
      @ForAll @DoubleRange(min = 0.0, max = 3.0) double gas,
      @ForAll @DoubleRange(min = 0.0, max = 1.0) double surface,
      @ForAll @DoubleRange(min = 0.0, max = 60.0) double settled,
      @ForAll @DoubleRange(min = 1.0, max = 4.0) double peak,
      @ForAll @DoubleRange(min = 0.2, max = 3.0) double fadeHours,
      @ForAll @DoubleRange(min = 0.1, max = 6.0) double hours) {
    Exchange exchange = new Exchange(gas, 54.0, surface, 11.0);
    FadingDemand demand = new FadingDemand(settled, peak, fadeHours);

    // What comes in is itself summed as a course, along the exact level: by the midpoint rule.
    Course gained =
        Course.follow(
            0.0,
            hours,
            t -> exchange.rateMgPerLPerHour(demand.levelAfter(t, start, exchange)),
            t -> 0.0);
    double end = demand.levelAfter(hours, start, exchange);

    assertThat(end - start).isCloseTo(gained.endMgPerL() - demand.takenMgPerL(hours), within(5e-3));
  }

  @Property(tries = 100)
  void course_followsTheClosedForm(
      @ForAll @DoubleRange(min = 2.0, max = 20.0) double start,
      @ForAll @DoubleRange(min = 0.0, max = 10.0) double gas,
      @ForAll @DoubleRange(min = 0.0, max = 60.0) double settled,
      @ForAll @DoubleRange(min = 1.0, max = 4.0) double peak,
      @ForAll @DoubleRange(min = 0.2, max = 3.0) double fadeHours) {
    Exchange exchange = new Exchange(gas, 54.0, 0.2, 11.0);
    FadingDemand demand = new FadingDemand(settled, peak, fadeHours);

    Course course =
        Course.follow(
            start,
            3.0,
            t -> exchange.rateMgPerLPerHour(0.0) - demand.atHours(t),
            t -> exchange.perHour());

    assertThat(course.endMgPerL()).isCloseTo(demand.levelAfter(3.0, start, exchange), within(2e-3));
  }

  @Test
  void fadingDemand_atEqualRates_hasItsLimit() {
    // k = 1/τ is the formula's removable singularity.
    FadingDemand demand = new FadingDemand(10.0, 3.0, 2.0);
    double at = demand.levelAfter(1.5, 12.0, Exchange.surfaceOnly(0.5, 10.0));
    double near = demand.levelAfter(1.5, 12.0, Exchange.surfaceOnly(0.5 + 1e-7, 10.0));

    assertThat(at).isCloseTo(near, within(1e-5));
  }

  @Test
  void fadingDemand_overWeeks_staysFinite() {
    FadingDemand demand = new FadingDemand(1.0, 3.0, 0.4);

    assertThat(demand.levelAfter(744.0, 12.0, Exchange.surfaceOnly(0.5, 10.0)))
        .isCloseTo(8.0, within(1e-9));
    assertThat(demand.takenMgPerL(744.0)).isCloseTo(744.0 + 2.0 * 0.4, within(1e-9));
  }

  @Test
  void fadingDemand_thatDipsBelowAndRecovers_findsTheDip() {
    // Settled, the level holds at 10 - 2/0.5 = 6; the peak of 5 takes it under 5 on the way.
    FadingDemand demand = new FadingDemand(2.0, 5.0, 1.0);
    Exchange surface = Exchange.surfaceOnly(0.5, 10.0);

    double minutes = demand.minutesToFloor(10.0, 5.0, surface);

    assertThat(minutes).isLessThan(120.0);
    assertThat(demand.levelAfter(minutes / 60.0, 10.0, surface)).isCloseTo(5.0, within(1e-6));
    assertThat(FadingDemand.settled(2.0).minutesToFloor(10.0, 5.0, surface)).isInfinite();
  }

  @Property(tries = 200)
  void fadingDemand_withoutAPeak_isTheClosedFormOfASteadyOne(
      @ForAll @DoubleRange(min = 3.5, max = 20.0) double start,
      @ForAll @DoubleRange(min = 0.0, max = 2.0) double k,
      @ForAll @DoubleRange(min = 0.5, max = 60.0) double demand) {
    assertThat(
            FadingDemand.settled(demand).minutesToFloor(start, 3.0, Exchange.surfaceOnly(k, 10.0)))
        .isEqualTo(TimeToFloor.minutes(start, 3.0, k, 10.0, demand));
  }

  @Property(tries = 200)
  void fadingDemand_ofFreshFish_leavesNoMoreTimeThanOfSettledFish(
      @ForAll @DoubleRange(min = 3.5, max = 20.0) double start,
      @ForAll @DoubleRange(min = 0.0, max = 2.0) double k,
      @ForAll @DoubleRange(min = 0.5, max = 60.0) double demand,
      @ForAll @DoubleRange(min = 1.0, max = 4.0) double peak) {
    Exchange surface = Exchange.surfaceOnly(k, 10.0);

    assertThat(new FadingDemand(demand, peak, 0.5).minutesToFloor(start, 3.0, surface))
        .isLessThanOrEqualTo(TimeToFloor.minutes(start, 3.0, k, 10.0, demand) * (1.0 + 1e-9));
  }

  @Test
  void course_knowsItsLowestItsHighestAndItsCrossing() {
    Course falling = Course.follow(10.0, 2.0, t -> -4.0, t -> 0.0);

    assertThat(falling.endMgPerL()).isCloseTo(2.0, within(1e-9));
    assertThat(falling.lowestMgPerL()).isCloseTo(2.0, within(1e-9));
    assertThat(falling.highestMgPerL()).isEqualTo(10.0);
    assertThat(falling.minutesToFloor(4.0)).isCloseTo(90.0, within(1e-6));
    assertThat(falling.minutesToFloor(1.0)).isInfinite();
    assertThat(falling.minutesToFloor(10.0)).isZero();
    assertThat(falling.atHours(0.501)).isCloseTo(10.0 - 4.0 * 0.501, within(1e-9));
    assertThat(falling.atHours(9.0)).isEqualTo(falling.endMgPerL());
  }

  /** A step of half a minute at 450 1/h once ran away: a deep ceramic plate, driven hard. */
  @Test
  void course_withVeryFastExchange_settles() {
    Course course = Course.follow(9.0, 8.0, t -> 450.0 * 40.0 - 12.0, t -> 450.0);

    assertThat(course.endMgPerL()).isCloseTo(40.0 - 12.0 / 450.0, within(1e-9));
    assertThat(course.highestMgPerL()).isLessThanOrEqualTo(40.0);
  }

  @Test
  void ammonia_gathersWithTheOxygenTaken() {
    Band tan = WasteBuildUp.tanMgPerL(0.5, new Band(10.0, 20.0, 40.0), Feeding.UNFED);

    assertThat(tan.likely()).isCloseTo(0.5 + 20.0 * 0.15 * 14.007 / 31.9988, within(1e-9));
  }

  /** The covered tank of the science notes: 7.8 mg/L an hour reaches 20 from 2 in 2.3 h. */
  @Test
  void carbonDioxide_inACoveredTank_matchesTheWorkedExample() {
    assertThat(WasteBuildUp.carbonDioxideMgPerL(2.0, 7.8, 0.0, 10.0, 2.3))
        .isCloseTo(20.0, within(0.1));
  }

  @Test
  void carbonDioxide_withStripping_settlesWhereItGoesOffAsItComes() {
    double settled = WasteBuildUp.carbonDioxideMgPerL(2.0, 8.0, 0.5, 10.0, 100.0);

    assertThat(settled).isCloseTo(WasteBuildUp.airEquilibriumMgPerL(10.0) + 16.0, within(1e-6));
    assertThat(WasteBuildUp.airEquilibriumMgPerL(10.0)).isBetween(0.8, 1.1);
  }

  @Property(tries = 200)
  void carbonDioxide_band_holdsItsLikely(
      @ForAll @DoubleRange(min = 0.0, max = 40.0) double start,
      @ForAll @DoubleRange(min = 0.0, max = 40.0) double given,
      @ForAll @DoubleRange(min = 0.0, max = 3.0) double stripped) {
    Band band =
        WasteBuildUp.carbonDioxideMgPerL(
            start,
            new Band(0.5 * given, given, 2.0 * given),
            new Band(0.5 * stripped, stripped, 2.0 * stripped),
            10.0,
            4.0);

    assertThat(band.likely())
        .isEqualTo(WasteBuildUp.carbonDioxideMgPerL(start, given, stripped, 10.0, 4.0));
  }

  /** A litre of gas over water at 25 °C holds about 1.2 times what a litre of the water does. */
  @Test
  void stripping_isBoundedByWhatBubblesHold() {
    assertThat(WasteBuildUp.fullStrippingPerHour(1.0, 60.0, 25.0)).isCloseTo(1.246, within(0.02));
  }
}
