// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.holding;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import opercle.analysis.Band;
import opercle.analysis.ReferenceTable;
import opercle.analysis.alarm.Priority;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmReader;
import opercle.analysis.farm.Tank;
import opercle.analysis.holding.HoldingEstimate.Seen;
import opercle.analysis.holding.HoldingNow.Basis;
import opercle.analysis.records.TankEntry;
import opercle.analysis.records.TankEntry.TopUp.Lost;
import opercle.analysis.records.TankEntry.Where;
import opercle.analysis.stock.Species;
import org.junit.jupiter.api.Test;

class HoldingEstimateTest {

  private static final Instant CAME_IN = Instant.parse("2026-11-20T08:00:00Z");
  private static final OptionalDouble NONE = OptionalDouble.empty();

  private final List<TankEntry> done = new ArrayList<>();

  private static Tank tank(Species species, double kg, String more) {
    Farm farm =
        FarmReader.parse(
            "farm.yaml",
            """
            farm: Sallowmere
            tanks:
              - id: h1
                kind: holding
                waterLitres: 1500
                supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }
            """
                + more);
    return farm.tanks()
        .get(0)
        .withLoads(List.of(new Tank.Load(species, kg, OptionalInt.empty(), Optional.of(CAME_IN))));
  }

  private static Tank carp() {
    return tank(Species.COMMON_CARP, 60.0, "");
  }

  private static Seen water(double celsius, OptionalDouble ph) {
    return new Seen(OptionalDouble.of(celsius), ph, NONE, NONE);
  }

  private HoldingNow after(Tank tank, Seen seen, double hours) {
    return HoldingEstimate.of(tank, new TankWork(done), seen, at(hours)).orElseThrow();
  }

  private static Instant at(double hours) {
    return CAME_IN.plus(Duration.ofMillis((long) (3.6e6 * hours)));
  }

  private static Where where(double hours) {
    return new Where("h1", Optional.empty(), at(hours));
  }

  private void fed(double hours, double kg) {
    done.add(
        new TankEntry.Feed(
            where(hours), OptionalDouble.of(kg), OptionalDouble.empty(), Optional.empty()));
  }

  private void tested(double hours, OptionalDouble tan, OptionalDouble ph, OptionalDouble co2) {
    done.add(
        new TankEntry.WaterTest(where(hours), tan, ph, co2, NONE, NONE, NONE, Optional.empty()));
  }

  private static Band tanOf(HoldingNow now) {
    return now.tan().orElseThrow().band();
  }

  private static ReferenceTable.Row published(String fish, String condition) {
    return ReferenceTable.rows("tan_excretion")
        .filter(r -> r.text("fish").equals(fish) && r.text("condition").startsWith(condition))
        .findFirst()
        .orElseThrow();
  }

  @Test
  void fastedTrout_giveOffWhatWasMeasured() {
    double measured =
        Double.parseDouble(published("rainbow trout", "fasted, ammonia-N").text("mg_N_kg_h"));
    Band perKg = perKgPerHour(Species.RAINBOW_TROUT, 12.0);

    assertThat(measured).isBetween(perKg.low(), perKg.high());
  }

  @Test
  void fedTrout_giveOffWhatWasMeasured() {
    String[] ends = published("rainbow trout", "fed (1x").text("mg_N_kg_h").split("-", -1);
    done.add(new TankEntry.Feed(where(0.0), NONE, NONE, Optional.empty()));
    Band perKg = perKgPerHour(Species.RAINBOW_TROUT, 12.0);

    assertThat(Double.parseDouble(ends[0])).isBetween(perKg.low(), perKg.high());
    assertThat(Double.parseDouble(ends[1])).isBetween(perKg.low(), perKg.high());
  }

  @Test
  void aWeighedMeal_givesFeedTimesProteinTimesTheHandbooksShare() {
    assertThat(published("any, from feed", "TAN = feed x protein x 0.092")).isNotNull();
    double before = tanOf(after(carp(), water(4.0, NONE), 24.0)).likely();
    fed(0.0, 1.2);
    double with = tanOf(after(carp(), water(4.0, NONE), 24.0)).likely();

    // 1.2 kg of 40 % protein: 44.2 g of ammonia nitrogen in 1500 L
    assertThat(with).isCloseTo(1.2e6 * 0.40 * 0.092 / 1500.0, within(0.01));
    assertThat(with).isGreaterThan(before);
  }

  private Band perKgPerHour(Species species, double celsius) {
    return new AmmoniaCourse(tank(species, 60.0, ""), new TankWork(done), celsius)
        .perHour(CAME_IN)
        .times(1500.0 / 60.0);
  }

  @Test
  void unfedCarp_gatherAmmoniaWithTime() {
    Band day = tanOf(after(carp(), water(10.0, NONE), 24.0));
    Band two = tanOf(after(carp(), water(10.0, NONE), 48.0));

    // 2–3 mg N/kg/h is the reference's default for market carp at 10 °C
    assertThat(day.low()).isLessThan(3.0 * 60.0 * 24.0 / 1500.0);
    assertThat(day.high()).isGreaterThan(2.0 * 60.0 * 24.0 / 1500.0);
    assertThat(two.likely()).isCloseTo(2.0 * day.likely(), within(1e-9));
  }

  @Test
  void halfTheWater_halvesIt() {
    double before = tanOf(after(carp(), water(10.0, NONE), 24.0)).likely();
    done.add(new TankEntry.WaterChange(where(24.0), 750.0, Optional.empty()));

    assertThat(tanOf(after(carp(), water(10.0, NONE), 24.0)).likely())
        .isCloseTo(before / 2.0, within(1e-9));
  }

  @Test
  void freshWaterThatRunsThrough_keepsItDown() {
    Tank tank = tank(Species.COMMON_CARP, 60.0, "    holding: { freshLPerHour: 150 }\n");
    double still = tanOf(after(carp(), water(10.0, NONE), 240.0)).likely();
    double running = tanOf(after(tank, water(10.0, NONE), 240.0)).likely();

    assertThat(running).isLessThan(still / 20.0);
  }

  @Test
  void aTest_goesBeforeTheReckoning_andItGoesOnFromThere() {
    tested(48.0, OptionalDouble.of(0.5), NONE, NONE);
    HoldingNow soon = after(carp(), water(10.0, NONE), 49.0);
    HoldingNow later = after(carp(), water(10.0, NONE), 72.0);

    assertThat(tanOf(soon).likely()).isBetween(0.5, 0.7);
    assertThat(soon.tan().orElseThrow().basis()).isEqualTo(Basis.MEASURED);
    assertThat(later.tan().orElseThrow().basis()).isEqualTo(Basis.SINCE_MEASURED);
    assertThat(tanOf(later).likely()).isGreaterThan(2.0);
  }

  @Test
  void aTestOfTheFishBefore_countsForNothing() {
    tested(-48.0, OptionalDouble.of(9.0), NONE, NONE);

    assertThat(tanOf(after(carp(), water(10.0, NONE), 1.0)).likely()).isLessThan(1.0);
  }

  @Test
  void theWorkedExampleOfTheSheet_comesOut() {
    // 24 °C, pH 8.0, total 1.0 mg/L: factor 0.0502 (extension sheet, read), as nitrogen
    tested(5.0, OptionalDouble.of(1.0), OptionalDouble.of(8.0), NONE);
    Band ammonia =
        after(carp(), water(24.0, OptionalDouble.of(8.0)), 5.0).ammonia().orElseThrow().band();

    assertThat(ammonia.likely()).isCloseTo(0.0502 * 1.2159, within(0.0003));
  }

  @Test
  void withoutPh_thePoisonousPartIsNotKnown_andNothingIsJudged() {
    HoldingNow now = after(carp(), water(10.0, NONE), 24.0 * 20.0);

    assertThat(now.ammonia()).isEmpty();
    assertThat(WasteJudgement.of(now, false)).isEmpty();
    assertThat(NextThing.of(carp(), now)).anyMatch(s -> s.startsWith("Test"));
  }

  @Test
  void aPhThatIsOnlySet_isShownButCallsNobody() {
    Tank tank = tank(Species.COMMON_CARP, 60.0, "    holding: { ph: 8.5 }\n");
    HoldingNow now = after(tank, water(20.0, NONE), 96.0);

    assertThat(now.ammonia().orElseThrow().band().likely())
        .isGreaterThan(now.limits().ammoniaMgPerL());
    assertThat(WasteJudgement.of(now, false)).isEmpty();
  }

  @Test
  void reckonedAmmonia_isAtMostMedium_howeverHigh() {
    HoldingNow now = after(carp(), water(20.0, OptionalDouble.of(8.8)), 144.0);

    assertThat(now.ammonia().orElseThrow().band().likely())
        .isGreaterThan(now.limits().ammoniaHarmsMgPerL());
    assertThat(WasteJudgement.of(now, false).orElseThrow().priority()).isEqualTo(Priority.MEDIUM);
  }

  @Test
  void measuredAmmoniaThatHarms_isHigh() {
    tested(24.0, OptionalDouble.of(10.0), OptionalDouble.of(8.5), NONE);
    WasteJudgement judged =
        WasteJudgement.of(after(carp(), water(20.0, NONE), 25.0), false).orElseThrow();

    assertThat(judged.priority()).isEqualTo(Priority.HIGH);
    assertThat(judged.fact()).startsWith("poisonous ammonia measured at");
  }

  @Test
  void standing_endsOnlyBelowTheDeadband() {
    tested(24.0, OptionalDouble.of(0.75), OptionalDouble.of(8.0), NONE);
    HoldingNow now = after(carp(), water(24.0, NONE), 24.0); // 0.046 mg/L against 0.05

    assertThat(WasteJudgement.of(now, false)).isEmpty();
    assertThat(WasteJudgement.of(now, true)).isPresent();
  }

  @Test
  void carbonDioxideOfTheBalance_isShownAndCallsNobody() {
    Tank dense = tank(Species.COMMON_CARP, 900.0, "");
    HoldingNow now = after(dense, water(20.0, NONE), 24.0);

    assertThat(now.carbonDioxide().orElseThrow().band().likely()).isGreaterThan(20.0);
    assertThat(WasteJudgement.of(now, false)).isEmpty();
  }

  @Test
  void carbonDioxideOfPhAndAlkalinity_isThatOfTheTable() {
    // Tucker 1984 (read): pH 7.0 at 20 °C, factor per mg/L of alkalinity
    Tank tank = tank(Species.COMMON_CARP, 60.0, "    holding: { alkalinityMgPerL: 100 }\n");
    double factor =
        ReferenceTable.rows("co2_factor_from_ph_alkalinity")
            .filter(r -> r.number("pH") == 7.0 && r.number("temp_C") == 20.0)
            .findFirst()
            .orElseThrow()
            .number("factor");
    Band carbonDioxide =
        after(tank, water(20.0, OptionalDouble.of(7.0)), 24.0).carbonDioxide().orElseThrow().band();

    assertThat(carbonDioxide.likely()).isCloseTo(100.0 * factor, within(0.03 * 100.0 * factor));
    assertThat(carbonDioxide.low()).isLessThan(carbonDioxide.likely());
  }

  @Test
  void carbonDioxideThatSomebodyMeasured_holdsForAnHour() {
    tested(24.0, NONE, NONE, OptionalDouble.of(45.0));

    assertThat(WasteJudgement.of(after(carp(), water(10.0, NONE), 24.5), false).orElseThrow())
        .extracting(WasteJudgement::priority)
        .isEqualTo(Priority.HIGH);
    assertThat(WasteJudgement.of(after(carp(), water(10.0, NONE), 25.5), false)).isEmpty();
  }

  @Test
  void salt_isWhatWasPutIn_lessWhatWentWithTheWater_untilItIsMeasured() {
    done.add(new TankEntry.Salt(where(1.0), 3.0, Optional.empty()));
    assertThat(salt(2.0)).isCloseTo(2.0, within(1e-9));
    done.add(new TankEntry.WaterChange(where(3.0), 500.0, Optional.empty()));
    assertThat(salt(4.0)).isCloseTo(2.0 * 2.0 / 3.0, within(1e-9));
    done.add(
        new TankEntry.WaterTest(
            where(5.0), NONE, NONE, NONE, OptionalDouble.of(1.0), NONE, NONE, Optional.empty()));
    assertThat(salt(6.0)).isCloseTo(1.0, within(1e-9));
  }

  @Test
  void toppingUp_keepsTheSaltOfWhatEvaporated_losesThatOfWhatRanOut_addsWhatWasPutIn() {
    done.add(new TankEntry.Salt(where(1.0), 3.0, Optional.empty()));
    done.add(topUp(2.0, 300.0, Lost.EVAPORATED, NONE));
    assertThat(salt(2.5)).isCloseTo(2.0, within(1e-9));
    done.add(topUp(3.0, 300.0, Lost.RAN_OUT, NONE));
    assertThat(salt(3.5)).isCloseTo(1.6, within(1e-9)); // a fifth of the water went
    done.add(topUp(4.0, 150.0, Lost.RAN_OUT, OptionalDouble.of(0.84)));
    assertThat(salt(4.5)).isCloseTo(1.6 * 0.9 + 0.56, within(1e-9));
  }

  /** Water that is low by evaporation is tested as it is, and thinner once it is full again. */
  @Test
  void saltThatWasTestedInALowTank_isMeasured_andIsThinnedByTheTopUp() {
    done.add(
        new TankEntry.WaterTest(
            where(5.0), NONE, NONE, NONE, OptionalDouble.of(5.0), NONE, NONE, Optional.empty()));
    assertThat(after(carp(), water(10.0, NONE), 6.0).saltGPerKg().basis())
        .isEqualTo(HoldingNow.Basis.MEASURED);
    done.add(topUp(6.0, 300.0, Lost.EVAPORATED, NONE));
    assertThat(salt(6.5)).isCloseTo(4.0, within(1e-9));
    assertThat(after(carp(), water(10.0, NONE), 6.5).saltGPerKg().basis())
        .isEqualTo(HoldingNow.Basis.SINCE_MEASURED);
    done.add(topUp(7.0, 300.0, Lost.EVAPORATED, NONE));
    assertThat(salt(7.5)).as("the first one filled it").isCloseTo(4.0, within(1e-9));
  }

  @Test
  void waterThatRanOut_tookItsAmmoniaAlong_whatEvaporatedDidNot() {
    tested(24.0, OptionalDouble.of(2.0), NONE, NONE);
    double kept = tan(25.0);
    done.add(topUp(24.5, 300.0, Lost.EVAPORATED, NONE));
    assertThat(tan(25.0)).isEqualTo(kept);
    done.add(topUp(24.5, 300.0, Lost.RAN_OUT, NONE));
    assertThat(tan(25.0)).isBetween(0.8 * kept, 0.85 * kept);
  }

  private double tan(double hours) {
    return after(carp(), water(10.0, NONE), hours).tan().orElseThrow().band().likely();
  }

  private static TankEntry.TopUp topUp(
      double hours, double litres, Lost lost, OptionalDouble saltKg) {
    return new TankEntry.TopUp(where(hours), litres, lost, saltKg, Optional.empty());
  }

  private double salt(double hours) {
    return after(carp(), water(10.0, NONE), hours).saltGPerKg().band().likely();
  }

  @Test
  void days_areCountedAgainstTheKeepersLimit_elseTheUsualOne() {
    assertThat(after(carp(), water(10.0, NONE), 36.0).daysHeld()).hasValue(1.5);
    assertThat(HoldingLimits.of(carp()).days()).isEqualTo(14.0);
    assertThat(HoldingLimits.of(carp()).daysAreTheKeepers()).isFalse();
    Tank own =
        tank(
            Species.PERCH,
            5.0,
            "    holding: { days: 10, daysBySpecies: { perch: 4, tench: 20 } }\n");
    assertThat(HoldingLimits.of(own).days()).isEqualTo(4.0);
    assertThat(HoldingLimits.of(own).daysAreTheKeepers()).isTrue();
  }

  @Test
  void density_isToldAgainstTheGuideForHolding() {
    HoldingNow now = after(carp(), water(10.0, NONE), 1.0);

    assertThat(now.densityKgPerM3()).isCloseTo(40.0, within(1e-9));
    assertThat(now.density()).isEqualTo(HoldingNow.Density.FULL);
  }

  @Test
  void aTransportTank_andAnEmptyOne_haveNone() {
    assertThat(
            HoldingEstimate.of(carp().withLoads(List.of()), TankWork.NONE, Seen.NOTHING, CAME_IN))
        .isEmpty();
  }

  /** The watch reckons at every reading: nothing that a probe can say may stop it. */
  @Property(tries = 300)
  void whateverProbesSay_itReckons(
      @ForAll @DoubleRange(min = -10.0, max = 60.0) double celsius,
      @ForAll @DoubleRange(min = 0.0, max = 14.0) double ph,
      @ForAll @DoubleRange(min = -1.0, max = 70.0) double salinity,
      @ForAll @DoubleRange(min = -5.0, max = 5000.0) double flow,
      @ForAll Species species,
      @ForAll @DoubleRange(min = 0.01, max = 50_000.0) double kg,
      @ForAll @DoubleRange(min = 0.0, max = 9000.0) double hours) {
    Tank tank = tank(species, kg, "    holding: { alkalinityMgPerL: 200 }\n");
    Seen seen =
        new Seen(
            OptionalDouble.of(celsius),
            OptionalDouble.of(ph),
            OptionalDouble.of(salinity),
            OptionalDouble.of(flow));
    HoldingNow now = after(tank, seen, hours);

    assertThat(now.tan()).isPresent();
    assertThat(now.ammonia().orElseThrow().band().likely()).isNotNegative();
    assertThat(now.carbonDioxide().orElseThrow().band().likely()).isNotNegative();
    assertThat(NextThing.of(tank, now)).isNotEmpty();
  }

  @Test
  void aMealThatIsWrittenDownTwice_isOneMeal() {
    fed(1.0, 0.3);
    TankWork work = new TankWork(done).withMeals(List.of(at(1.05), at(9.0)), "h1");

    assertThat(work.of(TankEntry.Feed.class)).hasSize(2);
  }
}
