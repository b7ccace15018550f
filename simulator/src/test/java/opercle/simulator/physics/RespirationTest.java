// SPDX-License-Identifier: Apache-2.0
package opercle.simulator.physics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Map;
import opercle.analysis.stock.Species;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class RespirationTest {

  private static final Map<String, Species> SETS =
      Map.of(
          "Roach", Species.ROACH,
          "Perch 100 g", Species.PERCH,
          "Pike adult", Species.PIKE,
          "Rainbow trout adult", Species.RAINBOW_TROUT);

  @Test
  void bioenergeticsSets_matchTheTableComputedFromPublishedParameters() {
    List<List<String>> rows =
        Reference.rows("fish_bioenergetics_check.csv").stream()
            .filter(row -> SETS.containsKey(row.get(0)))
            .toList();
    assertThat(rows).hasSizeGreaterThan(12);

    for (List<String> row : rows) {
      Species species = SETS.getOrDefault(row.get(0), Species.ROACH);
      double rate =
          Respiration.of(species)
              .mgPerKgPerHour(Double.parseDouble(row.get(1)), Double.parseDouble(row.get(2)));

      // half of the last digit, and half of the last digit of pike's activity factor
      assertThat(rate).as(row.toString()).isCloseTo(Double.parseDouble(row.get(3)), within(0.11));
    }
  }

  /** Ott, Heisler and Ultsch (1980): resting carp of about 1.5 kg; routine is 1.45 times that. */
  @ParameterizedTest
  @CsvSource({"5, 14.9", "10, 30.7", "15, 53.4", "25, 83.9"})
  void carp_areMeasuredRestingRateTimesRoutine(double celsius, double resting) {
    double rate = Respiration.of(Species.COMMON_CARP).mgPerKgPerHour(1500.0, celsius);

    assertThat(rate / 1.45).isCloseTo(resting, within(1e-9));
  }

  @Test
  void everySpecies_breathesMoreWhenWarmerAndPerKiloWhenSmaller() {
    for (Species species : Species.values()) {
      Respiration r = Respiration.of(species);
      for (int c = 1; c < 20; c++) {
        assertThat(r.mgPerKgPerHour(500.0, c + 1.0))
            .as("%s at %s °C", species, c)
            .isGreaterThan(r.mgPerKgPerHour(500.0, c));
      }
      assertThat(r.mgPerKgPerHour(100.0, 10.0)).isGreaterThan(r.mgPerKgPerHour(1000.0, 10.0));
    }
  }
}
