// SPDX-License-Identifier: Apache-2.0
package opercle.analysis;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import org.junit.jupiter.api.Test;

class ReferenceTableTest {

  @Test
  void rows_leaveOutComments_andReadQuotedCells() {
    assertThat(ReferenceTable.rows("do_point_checks"))
        .hasSize(12)
        .anySatisfy(
            row -> {
              assertThat(row.text("quantity"))
                  .isEqualTo("O2 at saturation, R package author example");
              assertThat(row.number("value")).isEqualTo(10.5928);
              assertThat(row.toString()).startsWith("do_point_checks line 5: O2 at saturation, R");
            });
  }

  @Test
  void text_ofUnknownColumn_namesTableAndColumn() {
    ReferenceTable.Row row = ReferenceTable.rows("do_gsw_o2sol").findFirst().orElseThrow();

    assertThatThrownBy(() -> row.text("o2"))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage("do_gsw_o2sol has no column o2");
  }
}
