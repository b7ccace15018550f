// SPDX-License-Identifier: Apache-2.0
package opercle.simulator;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

class ScenarioTest {

  @Test
  void scenarios_haveNamesOfTheirOwnAndOneLineEach() {
    assertThat(Scenario.names())
        .doesNotHaveDuplicates()
        .allMatch(name -> name.matches("[a-z]+(-[a-z]+)*"))
        .contains(
            "quiet-night",
            "gas-line-stops",
            "split-after-meter",
            "blower-stops",
            "cylinder-runs-out",
            "diffuser-blocked",
            "probe-in-air",
            "probe-stuck",
            "fish-added",
            "warm-spell",
            "drop-outs");
    assertThat(Scenario.all())
        .extracting(Scenario::description)
        .allMatch(d -> d.endsWith(".") && d.length() < 100 && !d.contains("\n"));
  }

  @Test
  void nightKinds_areFoundByTheirIds() {
    for (NightKind kind : NightKind.values()) {
      assertThat(NightKind.of(kind.id())).contains(kind);
    }
    assertThat(NightKind.of("nothing")).isEmpty();
  }
}
