// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * A few cells of the table that {@link DetectionLimitMain} prints whole: delays to the first alarm
 * of any priority, and how often a night without a fall has one.
 */
class DetectionLimitTest {

  @ParameterizedTest(
      name = "every {0} s, noise {1}, T90 {2}, wander {3}, {4} (mg/L)/min: {5} times")
  @CsvSource({
    "1, 0.05, 30, 0, 0.05, 1.3",
    "1, 0.05, 30, 0, 0.2, 1.3",
    "1, 0.05, 30, 0, 1, 1.3",
    "5, 0.05, 30, 0, 0.05, 1.3",
    "5, 0.1, 30, 0, 0.05, 1.35",
    "5, 0.05, 30, 0, 0.2, 1.3",
    "5, 0.05, 30, 0, 0.5, 1.3",
    "5, 0.05, 30, 0, 1, 1.3",
    "5, 0.1, 60, 0, 0.5, 1.3",
    "5, 0.02, 60, 0, 0.2, 1.3",
    "30, 0.05, 30, 0, 0.05, 1.35",
    "30, 0.05, 30, 0, 0.2, 1.3",
    "30, 0.05, 30, 0, 0.5, 1.3",
    "30, 0.05, 60, 0, 1, 1.3",
    "5, 0.05, 30, 0.05, 0.05, 1.5",
    "5, 0.05, 30, 0.05, 0.2, 1.5",
    "5, 0.05, 30, 0.15, 0.05, 1.9",
    "5, 0.05, 30, 0.15, 0.2, 1.5",
    "5, 0.05, 30, 0.15, 1, 1.5"
  })
  void watchOnOxygenAlone_isNearTheBestPossible(
      double interval, double noise, double t90, double wander, double rate, double times)
      throws IOException {
    DetectionLimitMain.Cell cell =
        DetectionLimitMain.cells().stream()
            .filter(c -> c.interval() == interval && c.noise() == noise && c.t90() == t90)
            .filter(c -> c.wander() == wander && c.rate() == rate)
            .findFirst()
            .orElseThrow();

    DetectionLimitMain.Delays delays = DetectionLimitMain.delays(cell, 7200.0, 20);

    assertThat(delays.missed()).isZero();
    assertThat(delays.any()).isLessThan(times * cell.best());
  }

  /** The table's limits allow one false alarm in 30 tank-nights. */
  @ParameterizedTest(name = "every {0} s")
  @ValueSource(doubles = {5.0, 30.0})
  void quietWater_isWithinTheFalseAlarmsThatTheTableAllows(double interval) throws IOException {
    DetectionLimitMain.Cell cell =
        DetectionLimitMain.cells().stream()
            .filter(c -> c.interval() == interval && c.noise() == 0.05 && c.wander() == 0.0)
            .findFirst()
            .orElseThrow();

    int[] calls = DetectionLimitMain.quiet(cell, 60);

    // Two are meant; six or more come in one of sixty such tests by chance.
    assertThat(calls[0]).as("of any priority").isLessThan(6);
    assertThat(calls[1]).as("of high priority").isZero();
  }
}
