// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.plan;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.OptionalDouble;
import opercle.analysis.farm.Tank.Diffuser;
import opercle.analysis.farm.Tank.Gas;
import opercle.analysis.plan.LoadPlanRequest.Cylinders;
import opercle.analysis.stock.Batch;
import opercle.analysis.stock.FishLoad;
import opercle.analysis.stock.Species;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * The six loads of the reviewer's table in the science notes: worked by hand from the published
 * formulas and tables, without this code, to the digits written here. The hand works between table
 * rows and in steps of a minute, so 2 % or the last digit written is allowed.
 */
class ReviewedLoadsTest {

  record Hand(
      String name,
      LoadPlanRequest request,
      double densityKgPerL,
      double nowMgPerKgPerHour,
      double anHourLaterMgPerKgPerHour,
      double flowNowLPerMin,
      double flowAnHourLaterLPerMin,
      double inHandMinutes,
      double inHandAnHourLaterMinutes,
      double tanMgPerL,
      double carbonDioxideMgPerL,
      double gasUsedLitres,
      OptionalDouble gasUsableLitres,
      Verdict verdict) {

    @Override
    public String toString() {
      return name;
    }
  }

  static List<Hand> loads() {
    return List.of(
        new Hand(
            "1 carp on the trailer",
            oxygen(FishLoad.of(Batch.of(Species.COMMON_CARP, 140.0, 60)), 650.0, 12.0, 90.0)
                .supply(Gas.OXYGEN, Diffuser.CERAMIC)
                .cylinders(Cylinders.one(20.0, 200.0))
                .build(),
            0.215,
            94.3,
            53.5,
            0.73,
            0.41,
            30.9,
            47.6,
            1.32,
            21.2,
            55.9,
            OptionalDouble.of(4257.0 - 1042.0),
            Verdict.GO_WITH_CARE),
        new Hand(
            "2 too many carp",
            oxygen(FishLoad.of(Batch.of(Species.COMMON_CARP, 300.0, 100)), 500.0, 10.0, 240.0)
                .supply(Gas.OXYGEN, Diffuser.POROUS_HOSE)
                .cylinders(Cylinders.one(10.0, 200.0))
                .build(),
            0.60,
            72.5,
            41.2,
            5.35,
            3.04,
            13.6,
            22.5,
            6.43,
            57.4,
            868.0,
            OptionalDouble.of(2128.0 - 521.0),
            Verdict.DO_NOT_GO),
        new Hand(
            "3 tench on the blower",
            oxygen(FishLoad.of(Batch.of(Species.TENCH, 55.0, 70)), 1500.0, 14.0, 600.0)
                .supply(Gas.AIR, Diffuser.POROUS_HOSE)
                .depthM(0.8)
                .flowLPerMin(45.0)
                .build(),
            0.037,
            145.5,
            82.6,
            33.9,
            16.0,
            126.2,
            156.4,
            1.84,
            3.7,
            27000.0,
            OptionalDouble.empty(),
            Verdict.GO),
        new Hand(
            "4 roach in winter",
            oxygen(FishLoad.of(Batch.of(Species.ROACH, 20.0, 100)), 200.0, 6.0, 45.0)
                .supply(Gas.OXYGEN, Diffuser.AIR_STONE)
                .depthM(0.5)
                .cylinders(Cylinders.one(5.0, 150.0))
                .build(),
            0.10,
            73.1,
            44.7,
            1.37,
            0.84,
            154.0,
            178.8,
            0.27,
            6.1,
            61.7,
            OptionalDouble.of(802.0 - 261.0),
            Verdict.GO),
        new Hand(
            "5 trout that warm",
            oxygen(FishLoad.of(Batch.of(Species.RAINBOW_TROUT, 60.0, 120)), 600.0, 8.0, 120.0)
                .riseC(2.0)
                .supply(Gas.OXYGEN, Diffuser.CERAMIC)
                .flowLPerMin(1.0)
                .cylinders(Cylinders.one(20.0, 150.0))
                .build(),
            0.10,
            160.4,
            98.6,
            0.516,
            0.321,
            35.5,
            49.0,
            1.41,
            21.3,
            120.0,
            OptionalDouble.of(3206.0 - 1042.0),
            Verdict.GO_WITH_CARE),
        new Hand(
            "6 crucians and tench",
            oxygen(
                    FishLoad.of(
                        Batch.of(Species.CRUCIAN_CARP, 40.0, 160),
                        Batch.of(Species.TENCH, 30.0, 40)),
                    600.0,
                    16.0,
                    60.0)
                .supply(Gas.OXYGEN, Diffuser.POROUS_HOSE)
                .cylinders(Cylinders.one(10.0, 150.0))
                .build(),
            0.117,
            140.2,
            79.6,
            2.39,
            1.36,
            35.2,
            53.4,
            0.77,
            13.0,
            143.7,
            OptionalDouble.of(1603.0 - 521.0),
            Verdict.GO_WITH_CARE));
  }

  private static LoadPlanRequest.Builder oxygen(
      FishLoad load, double waterLitres, double temperatureC, double minutes) {
    return LoadPlanRequest.of(load, waterLitres).temperatureC(temperatureC).minutes(minutes);
  }

  @ParameterizedTest
  @MethodSource("loads")
  void plan_agreesWithTheHandCalculation(Hand hand) {
    LoadPlan plan = LoadPlan.of(hand.request());
    Outlook outlook = plan.outlook();

    near("density", outlook.densityKgPerL(), hand.densityKgPerL());
    near("demand now", outlook.demandNowMgPerKgPerHour().likely(), hand.nowMgPerKgPerHour());
    near(
        "demand an hour later",
        outlook.demandAfterAnHourMgPerKgPerHour().likely(),
        hand.anHourLaterMgPerKgPerHour());
    near("flow now", outlook.flowNowLPerMin().likely(), hand.flowNowLPerMin());
    near(
        "flow an hour later",
        outlook.flowAfterAnHourLPerMin().likely(),
        hand.flowAnHourLaterLPerMin());
    near("in hand", outlook.inHandAtLoadingMinutes().likely(), hand.inHandMinutes());
    near(
        "in hand an hour later",
        outlook.inHandAfterAnHourMinutes().likely(),
        hand.inHandAnHourLaterMinutes());
    near("ammonia", outlook.tanMgPerL().likely(), hand.tanMgPerL());
    near("carbon dioxide", outlook.carbonDioxideMgPerL().likely(), hand.carbonDioxideMgPerL());
    near("gas used", outlook.gasUsedLitres().likely(), hand.gasUsedLitres());
    hand.gasUsableLitres()
        .ifPresent(litres -> near("usable", outlook.gasUsableLitres().orElseThrow(), litres));
    assertThat(plan.verdict()).isEqualTo(hand.verdict());
  }

  private static void near(String what, double program, double hand) {
    double lastDigit = hand < 1.0 ? 0.005 : hand < 10.0 ? 0.06 : 0.0;
    assertThat(program).as(what).isCloseTo(hand, within(Math.max(0.02 * hand, lastDigit)));
  }
}
