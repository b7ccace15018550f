// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.plan;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import opercle.analysis.Band;
import opercle.analysis.farm.Tank.Diffuser;
import opercle.analysis.farm.Tank.Gas;
import opercle.analysis.plan.LoadPlanRequest.Cylinders;
import opercle.analysis.stock.Batch;
import opercle.analysis.stock.Confidence;
import opercle.analysis.stock.Feeding;
import opercle.analysis.stock.FishLoad;
import opercle.analysis.stock.HandlingStress;
import opercle.analysis.stock.Species;
import org.junit.jupiter.api.Test;

class LoadPlanTest {

  static FishLoad carp(double kg) {
    return FishLoad.of(Batch.of(Species.COMMON_CARP, kg, (int) Math.max(1, Math.round(kg / 2.0))));
  }

  /** An easy afternoon: 60 kg of carp in the 650 L trailer tank at 10 °C for an hour. */
  static LoadPlanRequest.Builder easy() {
    return LoadPlanRequest.of(carp(60.0), 650.0)
        .temperatureC(10.0)
        .minutes(60.0)
        .supply(Gas.OXYGEN, Diffuser.CERAMIC)
        .cylinders(Cylinders.one(20.0, 150.0));
  }

  private static Reason reason(LoadPlan plan, Topic topic) {
    return plan.reasons().stream().filter(r -> r.topic() == topic).findFirst().orElseThrow();
  }

  @Test
  void plan_ofAnEasyLoad_isGo() {
    LoadPlan plan = LoadPlan.of(easy().build());

    assertThat(plan.verdict()).isEqualTo(Verdict.GO);
    assertThat(plan.remedies()).isEmpty();
    assertThat(plan.largestGoKg().orElseThrow()).isGreaterThan(60.0);
    assertThat(plan.reasons()).extracting(Reason::topic).containsExactly(Topic.values());
  }

  @Test
  void course_runsFromLoadingToUnloading_andEndsInTheFiguresOfTheOutlook() {
    Outlook outlook = LoadPlan.of(easy().build()).outlook();
    TripPoint first = outlook.course().get(0);
    TripPoint last = outlook.course().get(outlook.course().size() - 1);

    assertThat(first.minutes()).isZero();
    assertThat(first.oxygenMgPerL().likely()).isEqualTo(outlook.targetMgPerL());
    assertThat(first.tanMgPerL().high()).isZero();
    assertThat(last.minutes()).isEqualTo(60.0);
    assertThat(last.tanMgPerL()).isEqualTo(outlook.tanMgPerL());
    assertThat(outlook.course())
        .allSatisfy(
            point -> {
              assertThat(point.oxygenMgPerL().low())
                  .isGreaterThanOrEqualTo(outlook.lowestMgPerL().low() - 1e-9);
              assertThat(point.carbonDioxideMgPerL().high())
                  .isLessThanOrEqualTo(outlook.carbonDioxideMgPerL().high() + 1e-9);
            });
  }

  @Test
  void plan_ofTooManyFish_isNotGoAndSaysHowManyWould() {
    LoadPlan plan = LoadPlan.of(easy().load(carp(500.0)).build());

    assertThat(plan.verdict()).isEqualTo(Verdict.DO_NOT_GO);
    assertThat(reason(plan, Topic.DENSITY).verdict()).isEqualTo(Verdict.DO_NOT_GO);
    assertThat(plan.remedies()).extracting(Remedy::kind).contains(Remedy.Kind.LESS_FISH);
  }

  @Test
  void plan_withLessTimeInHandThanTheResponseTakes_isNotGo() {
    LoadPlan plan = LoadPlan.of(easy().responseMinutes(200.0).build());

    Reason reason = reason(plan, Topic.TIME_IN_HAND);
    assertThat(reason.verdict()).isEqualTo(Verdict.DO_NOT_GO);
    assertThat(reason.limit()).isEqualTo(200.0);
    assertThat(reason.unit()).isEqualTo("min");
    assertThat(reason.sentence()).contains("too late");
  }

  @Test
  void plan_withACylinderThatRunsOut_isMendedByAnother() {
    LoadPlan plan =
        LoadPlan.of(easy().flowLPerMin(0.6).cylinders(Cylinders.one(2.0, 70.0)).build());

    // 2 L from 70 to 50 bar is about 40 L: 70 minutes at 0.6 L/min, and 90 are asked for.
    assertThat(reason(plan, Topic.CYLINDER).verdict()).isEqualTo(Verdict.GO_WITH_CARE);
    assertThat(plan.outlook().enduranceMinutes().orElseThrow().likely())
        .isCloseTo(70.0, within(5.0));
    assertThat(plan.remedies())
        .anySatisfy(
            r -> {
              assertThat(r.kind()).isEqualTo(Remedy.Kind.ANOTHER_CYLINDER);
              assertThat(r.verdict()).isEqualTo(Verdict.GO);
              assertThat(r.value()).isEqualTo(2.0);
            });
  }

  @Test
  void plan_withACylinderThatEndsBeforeTheTrip_isNotGo() {
    LoadPlan plan =
        LoadPlan.of(easy().flowLPerMin(1.0).cylinders(Cylinders.one(2.0, 60.0)).build());

    assertThat(reason(plan, Topic.CYLINDER).verdict()).isEqualTo(Verdict.DO_NOT_GO);
  }

  /** The likely figure decides; how soon it may be over is said beside it. */
  @Test
  void cylinder_lastsBetweenALowAndAHighTime_unlessTheFlowIsSet() {
    Band planned = LoadPlan.of(easy().build()).outlook().enduranceMinutes().orElseThrow();
    LoadPlan set = LoadPlan.of(easy().flowLPerMin(0.6).build());

    assertThat(planned.low()).isLessThan(0.5 * planned.likely());
    assertThat(planned.high()).isGreaterThan(2.0 * planned.likely());
    assertThat(reason(LoadPlan.of(easy().build()), Topic.CYLINDER).sentence())
        .contains("if the fish breathe hard");
    assertThat(set.outlook().enduranceMinutes().orElseThrow().low())
        .isEqualTo(set.outlook().enduranceMinutes().orElseThrow().high());
  }

  /** 0.2 L/min per litre is all that the tank takes; the cylinder empties at what is set. */
  @Test
  void cylinder_atAFlowThatIsTooMuchForTheTank_emptiesAtThatFlow() {
    LoadPlan plan =
        LoadPlan.of(
            easy()
                .load(carp(2.0))
                .waterLitres(10.0)
                .flowLPerMin(20.0)
                .cylinders(Cylinders.one(10.0, 100.0))
                .build());

    assertThat(plan.outlook().enduranceMinutes().orElseThrow().likely())
        .isCloseTo(plan.outlook().gasUsableLitres().orElseThrow() / 20.0, within(1e-9));
    assertThat(reason(plan, Topic.CYLINDER).verdict()).isEqualTo(Verdict.DO_NOT_GO);
  }

  /**
   * The keep floor is not reached within the hour, but the level is falling and nothing holds it.
   */
  @Test
  void plan_withNoGasAndOxygenStillFallingAtTheEnd_isCareAndSaysSo() {
    LoadPlan plan =
        LoadPlan.of(
            easy()
                .load(FishLoad.of(Batch.ofKg(Species.COMMON_CARP, 60.0)))
                .flowLPerMin(0.0)
                .build());

    assertThat(plan.outlook().lowestMgPerL().likely()).isGreaterThan(6.0);
    assertThat(reason(plan, Topic.OXYGEN).verdict()).isEqualTo(Verdict.GO_WITH_CARE);
    assertThat(reason(plan, Topic.OXYGEN).sentence()).contains("on its way to");
    assertThat(reason(plan, Topic.CYLINDER).sentence()).startsWith("No gas is drawn");
    assertThat(plan.outlook().inHandAfterAnHourMinutes().likely())
        .isLessThan(plan.outlook().inHandAtLoadingMinutes().likely());
  }

  /** Eight hours in the sun: the fish breathe more at the end than when they were loaded. */
  @Test
  void plan_thatWarmsALot_judgesTheTimeInHandAtTheEnd() {
    LoadPlanRequest.Builder warming = easy().minutes(480.0).riseC(15.0).responseMinutes(30.0);
    LoadPlan plan = LoadPlan.of(warming.build());

    assertThat(plan.outlook().inHandAtEndMinutes().likely())
        .isLessThan(plan.outlook().inHandAtLoadingMinutes().likely())
        .isLessThan(30.0);
    assertThat(reason(plan, Topic.TIME_IN_HAND).verdict()).isEqualTo(Verdict.DO_NOT_GO);
    assertThat(reason(plan, Topic.TIME_IN_HAND).sentence()).contains("at the end");
  }

  @Test
  void largestLoad_doesNotHangOnHowMuchWasAskedFor() {
    FishLoad carp = FishLoad.of(Batch.ofKg(Species.COMMON_CARP, 1.0));
    double asked = LoadPlan.of(easy().load(carp).build()).largestGoKg().orElseThrow();

    for (double kg : new double[] {0.01, 20_000.0}) {
      assertThat(LoadPlan.of(easy().load(carp.times(kg)).build()).largestGoKg().orElseThrow())
          .isCloseTo(asked, within(0.002 * asked));
    }
  }

  @Test
  void advice_onAir_isNotAnotherCylinder() {
    LoadPlan plan =
        LoadPlan.of(easy().supply(Gas.AIR, Diffuser.POROUS_HOSE).responseMinutes(40.0).build());

    assertThat(reason(plan, Topic.TIME_IN_HAND).verdict()).isEqualTo(Verdict.GO_WITH_CARE);
    assertThat(reason(plan, Topic.TIME_IN_HAND).sentence())
        .contains("spare blower")
        .doesNotContain("cylinder");
  }

  @Test
  void plan_withoutACylinder_saysThatNobodyChecked() {
    LoadPlanRequest request =
        LoadPlanRequest.of(carp(60.0), 650.0).supply(Gas.OXYGEN, Diffuser.CERAMIC).build();

    LoadPlan plan = LoadPlan.of(request);

    assertThat(plan.verdict()).isEqualTo(Verdict.GO_WITH_CARE);
    assertThat(reason(plan, Topic.CYLINDER).sentence()).contains("nobody has checked");
    assertThat(reason(plan, Topic.CYLINDER).value()).isEmpty();
  }

  @Test
  void plan_withTooLittleGasSet_isNotGoAndNamesTheFlow() {
    LoadPlan plan = LoadPlan.of(easy().load(carp(120.0)).flowLPerMin(0.05).minutes(120.0).build());

    assertThat(reason(plan, Topic.OXYGEN).verdict()).isEqualTo(Verdict.DO_NOT_GO);
    assertThat(reason(plan, Topic.GAS_FLOW).sentence()).contains("You set 0.05 L/min");
    assertThat(plan.remedies()).extracting(Remedy::kind).contains(Remedy.Kind.OTHER_FLOW);
  }

  @Test
  void plan_withTooMuchGasSet_saysTurnItDown() {
    LoadPlan plan = LoadPlan.of(easy().load(carp(20.0)).flowLPerMin(8.0).minutes(120.0).build());

    assertThat(reason(plan, Topic.SUPERSATURATION).verdict()).isNotEqualTo(Verdict.GO);
    assertThat(plan.remedies()).extracting(Remedy::kind).contains(Remedy.Kind.OTHER_FLOW);
  }

  @Test
  void plan_onAirForARoadDensity_cannotHoldIt() {
    LoadPlan plan =
        LoadPlan.of(
            LoadPlanRequest.of(carp(200.0), 650.0)
                .supply(Gas.AIR, Diffuser.PERFORATED_PIPE)
                .temperatureC(15.0)
                .minutes(120.0)
                .build());

    assertThat(plan.verdict()).isEqualTo(Verdict.DO_NOT_GO);
    assertThat(reason(plan, Topic.GAS_FLOW).verdict()).isEqualTo(Verdict.DO_NOT_GO);
    assertThat(plan.reasons()).extracting(Reason::topic).doesNotContain(Topic.CYLINDER);
  }

  @Test
  void plan_ofTroutInWarmWater_isNotGo() {
    LoadPlan plan =
        LoadPlan.of(
            easy()
                .load(FishLoad.of(Batch.of(Species.BROWN_TROUT, 20.0, 40)))
                .temperatureC(17.0)
                .riseC(2.0)
                .build());

    Reason reason = reason(plan, Topic.TEMPERATURE);
    assertThat(reason.verdict()).isEqualTo(Verdict.DO_NOT_GO);
    assertThat(reason.limit()).isEqualTo(18.0);
    assertThat(reason.evidence().confidence()).isEqualTo(Confidence.COMMON_PRACTICE);
    assertThat(plan.remedies()).extracting(Remedy::kind).contains(Remedy.Kind.COOLER);
  }

  @Test
  void plan_ofAMixedLoad_takesTheStrictestSpecies() {
    FishLoad mixed =
        FishLoad.of(
            Batch.of(Species.COMMON_CARP, 30.0, 15), Batch.of(Species.RAINBOW_TROUT, 10.0, 20));

    LoadPlan plan = LoadPlan.of(easy().load(mixed).build());

    assertThat(reason(plan, Topic.OXYGEN).limit()).isEqualTo(8.0);
    assertThat(reason(plan, Topic.TEMPERATURE).limit()).isEqualTo(15.0);
    assertThat(plan.notes()).anySatisfy(n -> assertThat(n).startsWith("rainbow trout"));
  }

  @Test
  void plan_ofASpeciesWithoutAPublishedRate_saysSo() {
    LoadPlan plan =
        LoadPlan.of(easy().load(FishLoad.of(Batch.of(Species.RUDD, 20.0, 100))).build());

    assertThat(plan.notes())
        .anySatisfy(n -> assertThat(n).contains("taken as roach, no published value"));
  }

  @Test
  void plan_ofFreshFish_needsTwoToThreeTimesTheRestingFlow() {
    LoadPlan plan = LoadPlan.of(easy().build());

    double now = plan.outlook().demandNowMgPerKgPerHour().likely();
    double resting =
        opercle.analysis.stock.OxygenDemand.resting(Species.COMMON_CARP, 2.0, 10.0)
            .mgPerKgPerHour()
            .likely();
    assertThat(now / resting).isBetween(2.0, 3.0);
  }

  @Test
  void tradeRule_isOneLitreForAHundredKilogramsOfCarpAndTwoForTrout() {
    FishLoad mixed =
        FishLoad.of(
            Batch.ofKg(Species.COMMON_CARP, 100.0), Batch.ofKg(Species.RAINBOW_TROUT, 100.0));

    assertThat(LoadPlan.of(easy().load(mixed).build()).tradeFlowLPerMin())
        .isCloseTo(3.0, within(1e-9));
  }

  @Test
  void plan_ofFedOrExhaustedFish_isHeavierOnTheWater() {
    Outlook careful = LoadPlan.of(easy().build()).outlook();
    Outlook fed = LoadPlan.of(easy().feeding(Feeding.FED).build()).outlook();
    Outlook exhausted = LoadPlan.of(easy().handling(HandlingStress.EXHAUSTED).build()).outlook();

    assertThat(fed.tanMgPerL().likely()).isGreaterThan(2.0 * careful.tanMgPerL().likely());
    assertThat(exhausted.inHandAtLoadingMinutes().likely())
        .isLessThan(careful.inHandAtLoadingMinutes().likely());
  }

  @Test
  void plan_thatWarms_demandsMoreLater() {
    Outlook level = LoadPlan.of(easy().minutes(120.0).build()).outlook();
    Outlook warming = LoadPlan.of(easy().minutes(120.0).riseC(4.0).build()).outlook();

    assertThat(warming.demandAfterAnHourMgPerKgPerHour().likely())
        .isGreaterThan(level.demandAfterAnHourMgPerKgPerHour().likely());
    assertThat(warming.tanMgPerL().likely()).isGreaterThan(level.tanMgPerL().likely());
  }

  @Test
  void largestLoad_isGoAndALittleMoreIsNot() {
    LoadPlanRequest request = easy().build();
    double kg = LoadPlan.of(request).largestGoKg().orElseThrow();

    assertThat(LoadPlan.of(easy().load(request.load().times(0.999 * kg / 60.0)).build()).verdict())
        .isEqualTo(Verdict.GO);
    assertThat(LoadPlan.of(easy().load(request.load().times(1.01 * kg / 60.0)).build()).verdict())
        .isNotEqualTo(Verdict.GO);
  }
}
