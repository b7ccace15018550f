// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.plan;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.regex.Matcher;
import java.util.regex.Pattern;
import opercle.analysis.farm.Tank.Diffuser;
import opercle.analysis.farm.Tank.Gas;
import opercle.analysis.plan.LoadPlanRequest.Cylinders;
import opercle.analysis.stock.Batch;
import opercle.analysis.stock.FishLoad;
import opercle.analysis.stock.Species;
import org.junit.jupiter.api.Test;

/** What a plan says would do: each is true, and somebody with one tank can do it. */
class RemediesTest {

  private static FishLoad carp(double kg) {
    return FishLoad.of(Batch.of(Species.COMMON_CARP, kg, (int) Math.max(1, Math.round(kg / 2.0))));
  }

  private static LoadPlanRequest.Builder easy() {
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
  void everyRemedy_whenFollowed_givesTheVerdictItPromises() {
    LoadPlanRequest heavy = easy().load(carp(300.0)).minutes(120.0).build();
    LoadPlan plan = LoadPlan.of(heavy);

    assertThat(plan.remedies()).isNotEmpty();
    for (Remedy remedy : plan.remedies()) {
      LoadPlanRequest.Builder changed = heavy.toBuilder();
      switch (remedy.kind()) {
        case LESS_FISH -> changed.load(heavy.load().times(remedy.value() / 300.0));
        case MORE_WATER -> changed.waterLitres(remedy.value());
        case COOLER -> changed.temperatureC(remedy.value());
        case ANOTHER_CYLINDER -> changed.cylinders(new Cylinders(20.0, 150.0, 2));
        case FINER_DIFFUSER -> changed.supply(Gas.OXYGEN, Diffuser.CERAMIC);
        case OTHER_FLOW -> changed.flowAsPlanned();
      }
      assertThat(LoadPlan.of(changed.build()).verdict())
          .as(remedy.sentence())
          .isEqualTo(remedy.verdict());
    }
  }

  /** No tank takes five times the water that it holds: nobody is told to fill in more. */
  @Test
  void moreWaterThanTheTankTakes_isSaidAsTanks_andThoseHelp() {
    LoadPlanRequest heavy = easy().load(carp(400.0)).build();

    String sentence =
        LoadPlan.of(heavy).remedies().stream()
            .filter(r -> r.kind() == Remedy.Kind.MORE_WATER)
            .findFirst()
            .orElseThrow()
            .sentence();
    Matcher tanks = Pattern.compile("shared between (\\d) tanks like this one").matcher(sentence);
    assertThat(tanks.find()).as(sentence).isTrue();
    double share = 1.0 / Integer.parseInt(tanks.group(1));
    assertThat(LoadPlan.of(heavy.toBuilder().load(heavy.load().times(share)).build()).verdict())
        .isEqualTo(Verdict.GO);
  }

  /** With far too much gas ten tanks of water would do, and turning it down does. */
  @Test
  void tooMuchGas_isTurnedDown_andNoLargerTankIsAskedFor() {
    LoadPlan plan = LoadPlan.of(easy().flowLPerMin(5.0).build());

    assertThat(reason(plan, Topic.SUPERSATURATION).verdict()).isNotEqualTo(Verdict.GO);
    assertThat(plan.remedies())
        .isNotEmpty()
        .extracting(Remedy::kind)
        .contains(Remedy.Kind.OTHER_FLOW)
        .doesNotContain(Remedy.Kind.MORE_WATER);
  }
}
