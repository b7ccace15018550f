// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import opercle.analysis.farm.Farm;
import org.junit.jupiter.api.Test;

class ReadFarmsTest {

  private static final String FARM =
      """
      farm: %s
      tanks:
        - { id: h1, name: Holding 1, kind: holding, waterLitres: 1400,
            supply: { gas: air, source: blower, diffuser: ceramic, flowLPerMin: 40 } }
      """;

  private final ReadFarms farms = new ReadFarms();

  @Test
  void sameText_isReadOnce_andAnotherIsAnotherFarm() {
    Farm first = farms.farm("version 1", FARM.formatted("Sallowmere"));

    assertThat(farms.farm("version 3", FARM.formatted("Sallowmere"))).isSameAs(first);
    assertThat(farms.farm("version 2", FARM.formatted("Reed Pool")).name()).isEqualTo("Reed Pool");
  }

  @Test
  void whatCannotBeRead_isToldEachTime_withItsName() {
    for (int i = 0; i < 2; i++) {
      assertThatThrownBy(() -> farms.farm("version 7 of the farm", "farm: ["))
          .isInstanceOf(BookException.class)
          .hasMessageContaining("version 7 of the farm");
    }
  }
}
