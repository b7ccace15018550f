// SPDX-License-Identifier: Apache-2.0
package opercle.simulator;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;

import java.time.Instant;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmReader;
import opercle.analysis.farm.FarmWriter;
import opercle.analysis.farm.Tank;
import org.junit.jupiter.api.Test;

class SallowmereTest {

  private static final Instant NOW = Instant.parse("2026-03-14T20:00:00Z");

  @Test
  void farmOfManyTanks_isOneThatAFileCanHold_withItsOwnTanksFirst() {
    Farm own = Sallowmere.farmAt(NOW);

    Farm many = Sallowmere.farmOf(667, NOW);

    assertThat(many.tanks()).hasSize(667);
    assertThat(many.tanks().subList(0, own.tanks().size())).isEqualTo(own.tanks());
    assertThat(many.tanks().stream().map(Tank::id)).doesNotHaveDuplicates();
    assertThat(many.tanks().stream().map(Tank::name)).doesNotHaveDuplicates();
    assertThat(FarmReader.parse("farm.yaml", FarmWriter.write(many))).isEqualTo(many);
  }

  @Test
  void fewTanks_areTheFirstOnes() {
    assertThat(Sallowmere.farmOf(2, NOW).tanks())
        .isEqualTo(Sallowmere.farmAt(NOW).tanks().subList(0, 2));
  }

  @Test
  void noTanks_orTooMany_areRefused() {
    assertThatIllegalArgumentException().isThrownBy(() -> Sallowmere.farmOf(0, NOW));
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Sallowmere.farmOf(Sallowmere.MOST_TANKS + 1, NOW));
  }
}
