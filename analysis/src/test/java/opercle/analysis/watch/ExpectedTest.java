// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import opercle.analysis.Band;
import opercle.analysis.farm.Tank;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class ExpectedTest {

  private static final Band DEMAND = new Band(0.1, 0.15, 0.25);

  @ParameterizedTest
  @ValueSource(doubles = {0.5, 0.75, 1.0})
  void rateDensity_addsUpToOne(double lost) {
    Expected expected = Expected.of(Tank.Kind.TRANSPORT, lost, 3.0, DEMAND);
    double sum = 0.0;
    for (double rate = 0.0005; rate < 3.0; rate += 0.001) {
      sum += 0.001 * expected.rateDensity(rate);
    }

    assertThat(sum).isCloseTo(1.0, within(0.01));
  }

  @Test
  void lostSupply_goesBetweenTheBooksEnds_nineteenTimesInTwenty() {
    Expected expected = Expected.of(Tank.Kind.TRANSPORT, 1.0, 3.0, DEMAND);
    double inside = 0.0;
    for (double rate = 0.1005; rate < 0.25; rate += 0.001) {
      inside += 0.001 * expected.rateDensity(rate);
    }

    // Of the quiet nine in ten, and what of the roused chance lies there.
    assertThat(inside).isCloseTo(0.9 * 0.951 + 0.1 * 0.15 / (1.5 * 3.7 * 0.25), within(0.02));
  }

  @Test
  void surface_isWithinItsNotes_nineTimesInTen() {
    Expected still = Expected.of(Tank.Kind.HOLDING, 1.0, 0.0, null);
    Expected moving = Expected.of(Tank.Kind.TRANSPORT, 1.0, 0.0, null);

    assertThat(still.surfaceAt(-1.6449)).isCloseTo(0.05, within(1e-6));
    assertThat(still.surfaceAt(1.6449)).isCloseTo(0.3, within(1e-6));
    assertThat(moving.surfaceAt(-1.6449)).isCloseTo(0.06, within(1e-6));
    assertThat(moving.surfaceAt(1.6449)).isCloseTo(1.0, within(1e-6));
  }

  /** A rate that is hardly measured, and thrice what the load takes: chance made it look steep. */
  @Test
  void steepRateHardlyMeasured_isTakenForTheDemand() {
    List<Paths.Path> steep = List.of(new Paths.Path(1e-6, 9.0, 0.0, 0.45, 0.15, 1.0));
    Expected known = Expected.of(Tank.Kind.TRANSPORT, 0.75, 3.0, DEMAND);
    Expected unknown = Expected.of(Tank.Kind.TRANSPORT, 0.75, 3.0, null);

    assertThat(likely(Outlook.asThingsGo(3.0, steep, 0.0, unknown))).isBetween(12.0, 14.0);
    assertThat(likely(Outlook.asThingsGo(3.0, steep, 0.0, known))).isBetween(20.0, 35.0);
  }

  @Test
  void measuredRate_countsMoreThanTheBooks() {
    List<Paths.Path> steep = List.of(new Paths.Path(1e-6, 9.0, 0.0, 0.45, 0.01, 1.0));
    Expected known = Expected.of(Tank.Kind.TRANSPORT, 0.75, 3.0, DEMAND);

    assertThat(likely(Outlook.asThingsGo(3.0, steep, 0.0, known))).isBetween(12.5, 14.5);
  }

  /** Where the books are wrong altogether, what is measured holds. */
  @ParameterizedTest
  @ValueSource(doubles = {1.5, 3.0, 10.0, 30.0})
  void fallFarSteeperThanAnyFishOfTheBooks_isBelievedAsMeasured(double rate) {
    List<Paths.Path> steep = List.of(new Paths.Path(1e-6, 9.0, 0.0, rate, 0.1 * rate, 1.0));
    Expected known = Expected.of(Tank.Kind.TRANSPORT, 0.75, 3.0, DEMAND);

    assertThat(likely(Outlook.asThingsGo(3.0, steep, 0.0, known)))
        .isBetween(0.85 * 6.0 / rate, 1.25 * 6.0 / rate);
  }

  private static double likely(TimeInHand time) {
    return time.likelyMinutes().orElseThrow();
  }
}
