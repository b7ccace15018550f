// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.farm;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

class FarmMergeTest {

  private static Farm farm(String... tanks) {
    return FarmReader.parse("farm.yaml", "farm: Sallowmere\ntanks:\n" + String.join("", tanks));
  }

  private static String tank(String id, int litres, int kg) {
    return """
          - id: %s
            kind: holding
            waterLitres: %d
            supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }
            load: { species: tench, kg: %d }
        """
        .formatted(id, litres, kg);
  }

  @Test
  void fileLeftAlone_pagesCount() {
    Farm file = farm(tank("h1", 1500, 55));
    Farm inForce = farm(tank("h1", 1500, 30), tank("h2", 900, 10));

    assertThat(FarmMerge.of(file, file, inForce)).isEqualTo(inForce);
  }

  @Test
  void waterMendedByHand_keepsTheFishOfThePages() {
    Farm before = farm(tank("h1", 1500, 55));
    Farm byHand = farm(tank("h1", 1400, 55));
    Farm inForce = farm(tank("h1", 1500, 30));

    assertThat(FarmMerge.of(before, byHand, inForce)).isEqualTo(farm(tank("h1", 1400, 30)));
  }

  @Test
  void loadWrittenByHand_countsOverThatOfThePages() {
    Farm before = farm(tank("h1", 1500, 55));
    Farm byHand = farm(tank("h1", 1500, 70));
    Farm inForce = farm(tank("h1", 1500, 30));

    assertThat(FarmMerge.of(before, byHand, inForce)).isEqualTo(byHand);
  }

  @Test
  void tankTakenOutOnThePages_staysOut_untilTheFileSpeaksOfItAnew() {
    Farm before = farm(tank("h1", 1500, 55), tank("h2", 900, 10));
    Farm inForce = farm(tank("h1", 1500, 55));
    Farm otherChanged = farm(tank("h1", 1400, 55), tank("h2", 900, 10));
    Farm thisChanged = farm(tank("h1", 1500, 55), tank("h2", 950, 10));

    assertThat(FarmMerge.of(before, otherChanged, inForce).tankIds()).containsExactly("h1");
    assertThat(FarmMerge.of(before, thisChanged, inForce)).isEqualTo(thisChanged);
  }

  @Test
  void tankTakenOutByHand_isOut_andThoseOfThePagesStay() {
    Farm before = farm(tank("h1", 1500, 55), tank("h2", 900, 10));
    Farm byHand = farm(tank("h1", 1500, 55));
    Farm inForce = farm(tank("h1", 1500, 55), tank("h2", 900, 10), tank("h3", 700, 5));

    assertThat(FarmMerge.of(before, byHand, inForce))
        .isEqualTo(farm(tank("h1", 1500, 55), tank("h3", 700, 5)));
  }
}
