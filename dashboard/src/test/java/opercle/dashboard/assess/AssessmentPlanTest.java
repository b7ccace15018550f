// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.EnumSet;
import java.util.List;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.stream.Collectors;
import opercle.dashboard.assess.AssessmentPlan.PlannedNight;
import opercle.dashboard.assess.Changes.Instrument;
import opercle.simulator.NightKind;
import opercle.simulator.probe.Fittings;
import org.junit.jupiter.api.Test;

class AssessmentPlanTest {

  private static AssessmentPlan plan(int nights, long seed) {
    return new AssessmentPlan(nights, seed, Changes.NONE);
  }

  @Test
  void nights_twoOfFiveAreQuiet_andAllOtherKindsComeEquallyOften() {
    List<PlannedNight> planned = plan(1700, 1).plannedNights();
    var byKind =
        planned.stream().collect(Collectors.groupingBy(PlannedNight::kind, Collectors.counting()));

    assertThat(byKind.keySet()).isEqualTo(EnumSet.allOf(NightKind.class));
    assertThat(byKind.get(NightKind.QUIET)).isEqualTo(680);
    byKind.remove(NightKind.QUIET);
    assertThat(Set.copyOf(byKind.values())).containsExactly(30L);
  }

  @Test
  void moreNights_beginWithTheSame() {
    assertThat(plan(50, 1).plannedNights()).isEqualTo(plan(500, 1).plannedNights().subList(0, 50));
  }

  @Test
  void seeds_shareNoNight() {
    Set<PlannedNight> nights = Set.copyOf(plan(1000, 1).plannedNights());

    assertThat(nights).hasSize(1000);
    assertThat(plan(1000, 2).plannedNights()).noneMatch(nights::contains);
  }

  @Test
  void seedsBelowAThousand_areForDevelopment() {
    assertThat(plan(1, 999).isForDevelopment()).isTrue();
    assertThat(plan(1, 1000).isForDevelopment()).isFalse();
  }

  @Test
  void noNights_areRefused() {
    assertThatThrownBy(() -> plan(0, 1))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage("nights must be 1 to 100000 but was 0");
  }

  @Test
  void negativeSeed_isRefused() {
    assertThatThrownBy(() -> plan(1, -1))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("seed must be 0 to");
  }

  @Test
  void changes_areMadeToWhatWasDrawn() {
    Changes changes =
        new Changes(
            Set.of(Instrument.METER, Instrument.SECOND_PROBE), OptionalDouble.of(30.0), 3.0, 2.0);

    assertThat(changes.applyTo(new Fittings(2, true, true, true, 5.0, 20.0, 0.02)))
        .isEqualTo(new Fittings(1, false, true, true, 30.0, 40.0, 0.06));
    assertThat(changes.words())
        .isEqualTo(
            "without meter, without second-probe, read every 30.0 s, noise × 3.0, lag × 2.0");
    assertThat(Changes.NONE.words()).isEqualTo("as drawn");
  }

  @Test
  void impossibleChange_isRefused() {
    assertThatThrownBy(() -> new Changes(Set.of(), OptionalDouble.empty(), 0.0, 1.0))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage("noise must be 0.1 to 100.0 but was 0.0");
  }
}
