// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import opercle.analysis.farm.Tank;
import opercle.analysis.stock.Species;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** What was learned of the demand, when fish come and go: half as much again as by the books. */
class MovedDemandTest {

  private final Water water = new Water(new Probes(), 0.0);

  @BeforeEach
  void learned() {
    water.restoreLearnedDemand(1.5);
  }

  private static List<Tank.Load> tench(double kg) {
    return List.of(SallowmereTanks.load(Species.TENCH, kg, (int) kg));
  }

  @Test
  void fishTaken_whatWasLearnedStays() {
    water.moveDemand(tench(60), tench(20));

    assertThat(water.learnedDemand()).isEqualTo(1.5);
  }

  @Test
  void asManyAddedAgain_countHalf() {
    water.moveDemand(tench(30), tench(60));

    assertThat(water.learnedDemand()).isCloseTo(1.25, within(1e-12));
  }

  @Test
  void otherSpecies_nothingIsKnown() {
    water.moveDemand(tench(60), List.of(SallowmereTanks.load(Species.PIKE, 60.0, 20)));

    assertThat(water.learnedDemand()).isNaN();
  }

  @Test
  void emptied_nothingIsKnown() {
    water.moveDemand(tench(60), List.of());

    assertThat(water.learnedDemand()).isNaN();
  }
}
