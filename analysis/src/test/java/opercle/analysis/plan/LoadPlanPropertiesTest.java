// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.plan;

import static opercle.analysis.plan.LoadPlanTest.carp;
import static opercle.analysis.plan.LoadPlanTest.easy;
import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import opercle.analysis.farm.Tank.Diffuser;
import opercle.analysis.farm.Tank.Gas;
import opercle.analysis.plan.LoadPlanRequest.Cylinders;
import opercle.analysis.stock.Batch;
import opercle.analysis.stock.FishLoad;
import opercle.analysis.stock.Species;

/** What holds of every plan. */
class LoadPlanPropertiesTest {

  /** The plan's own flow must hold what it says it holds, also where the fish warm up. */
  @Property(tries = 40)
  void plannedFlow_holdsTheTarget_howeverTheWaterWarms(
      @ForAll @DoubleRange(min = 5.0, max = 200.0) double kg,
      @ForAll @DoubleRange(min = 2.0, max = 12.0) double temperatureC,
      @ForAll @DoubleRange(min = 0.0, max = 16.0) double riseC,
      @ForAll @DoubleRange(min = 10.0, max = 900.0) double minutes) {
    Outlook outlook =
        Trip.outlook(
            easy().load(carp(kg)).temperatureC(temperatureC).riseC(riseC).minutes(minutes).build());

    assertThat(outlook.lowestMgPerL().likely()).isGreaterThan(outlook.targetMgPerL() - 0.2);
    assertThat(outlook.settledMgPerL().likely()).isGreaterThan(outlook.targetMgPerL() - 0.2);
  }

  @Property(tries = 60)
  void timeInHand_withMoreFish_isNeverMore(
      @ForAll @DoubleRange(min = 5.0, max = 300.0) double kg,
      @ForAll @DoubleRange(min = 1.05, max = 2.0) double more,
      @ForAll @DoubleRange(min = 1.0, max = 25.0) double temperatureC) {
    Outlook fewer = Trip.outlook(easy().load(carp(kg)).temperatureC(temperatureC).build());
    Outlook heavier =
        Trip.outlook(easy().load(carp(kg).times(more)).temperatureC(temperatureC).build());

    assertThat(heavier.inHandAtLoadingMinutes().likely())
        .isLessThanOrEqualTo(fewer.inHandAtLoadingMinutes().likely());
    assertThat(heavier.inHandAfterAnHourMinutes().low())
        .isLessThanOrEqualTo(fewer.inHandAfterAnHourMinutes().low());
    assertThat(heavier.flowNowLPerMin().likely()).isGreaterThan(fewer.flowNowLPerMin().likely());
  }

  /** Two species, a flow that is set or not, cylinders: every band is in order and none is NaN. */
  @Property(tries = 40)
  void outlook_ofAnyMixedLoad_isInOrder(
      @ForAll Species one,
      @ForAll Species other,
      @ForAll Gas gas,
      @ForAll Diffuser diffuser,
      @ForAll @DoubleRange(min = 0.0, max = 300.0) double kg,
      @ForAll @DoubleRange(min = 0.0, max = 30.0) double temperatureC,
      @ForAll @DoubleRange(min = 0.0, max = 5.0) double riseC,
      @ForAll @DoubleRange(min = 1.0, max = 4320.0) double minutes,
      @ForAll @DoubleRange(min = -10.0, max = 200.0) double flow) {
    LoadPlanRequest.Builder request =
        LoadPlanRequest.of(FishLoad.of(Batch.ofKg(one, kg), Batch.of(other, 10.0, 20)), 500.0)
            .supply(gas, diffuser)
            .temperatureC(temperatureC)
            .riseC(riseC)
            .minutes(minutes)
            .cylinders(Cylinders.one(20.0, 150.0));
    if (flow >= 0.0) {
      request.flowLPerMin(flow);
    }

    Outlook o = Trip.outlook(request.build());

    assertThat(
            List.of(
                o.demandNowMgPerKgPerHour(),
                o.demandAfterAnHourMgPerKgPerHour(),
                o.flowNowLPerMin(),
                o.flowAfterAnHourLPerMin(),
                o.flowAtEndLPerMin(),
                o.lowestMgPerL(),
                o.highestMgPerL(),
                o.settledMgPerL(),
                o.gasUsedLitres(),
                o.inHandAtLoadingMinutes(),
                o.inHandAfterAnHourMinutes(),
                o.inHandAtEndMinutes(),
                o.tanMgPerL(),
                o.carbonDioxideMgPerL()))
        .allSatisfy(
            band -> {
              assertThat(band.low()).isBetween(0.0, band.likely());
              assertThat(band.likely()).isBetween(band.low(), band.high());
            });
    o.enduranceMinutes().ifPresent(b -> assertThat(b.low()).isBetween(0.0, b.likely()));
  }

  @Property(tries = 40)
  void plan_ofAnyLoad_isToldWhole(
      @ForAll Species species,
      @ForAll Gas gas,
      @ForAll Diffuser diffuser,
      @ForAll @DoubleRange(min = 0.1, max = 400.0) double kg,
      @ForAll @DoubleRange(min = 0.0, max = 30.0) double temperatureC,
      @ForAll @DoubleRange(min = 0.0, max = 5.0) double riseC,
      @ForAll @DoubleRange(min = 1.0, max = 400.0) double minutes) {
    LoadPlan plan =
        LoadPlan.of(
            LoadPlanRequest.of(FishLoad.of(Batch.ofKg(species, kg)), 500.0)
                .supply(gas, diffuser)
                .temperatureC(temperatureC)
                .riseC(riseC)
                .minutes(minutes)
                .build());

    assertThat(plan.verdict()).isEqualTo(Judgement.verdict(plan.reasons()));
    assertThat(LoadPlanText.of(plan).lines())
        .allSatisfy(l -> assertThat(l.length()).isLessThan(81));
    assertThat(LoadPlanTree.of(plan)).containsEntry("verdict", plan.verdict().id());
    if (plan.verdict() == Verdict.GO) {
      assertThat(plan.largestGoKg().orElseThrow()).isGreaterThanOrEqualTo(0.99 * kg);
    }
  }
}
