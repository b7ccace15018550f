// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Random;
import java.util.stream.Stream;
import opercle.analysis.ReferenceTable;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Run lengths of the statistic that finds falls, {@link Onsets} over {@link QuietWater}, beside
 * those that another program gave for the same test: how rarely quiet water passes the threshold,
 * and how soon a fall does. From about these thresholds on the watch suspects a fall; it finds one
 * at higher ones.
 */
class RunLengthTest {

  private static final double NOISE = 0.05;
  private static final double T90 = 30.0;
  private static final double BEFORE_SECONDS = 900.0;
  private static final double NIGHT_SECONDS = 12.0 * 3600.0;
  private static final long QUIET_READINGS = 2_400_000;
  private static final int FALLS = 300;

  private final QuietWater water = new QuietWater();
  private final Onsets onsets = new Onsets();

  static Stream<ReferenceTable.Row> rows() {
    return ReferenceTable.rows("run_length");
  }

  /** Three standard deviations of a Poisson count are allowed, and only falls count here. */
  @ParameterizedTest
  @MethodSource("rows")
  void quietWater_passesTheThreshold_noMoreOftenThanInTheTable(ReferenceTable.Row row) {
    double interval = row.number("interval_s");
    double threshold = row.number("threshold");
    Random random = new Random(41);
    start();
    int passed = 0;
    double quietSeconds = 0.0;
    long judged = 0;
    while (judged < QUIET_READINGS) {
      double mgPerL = Math.round(100.0 * (9.0 + NOISE * random.nextGaussian())) / 100.0;
      double score = score(interval, mgPerL);
      quietSeconds += interval;
      if (quietSeconds <= BEFORE_SECONDS) {
        continue;
      }
      judged++;
      if (score >= threshold) {
        passed++;
        quietSeconds = 0.0;
        start();
      }
    }

    double mean = QUIET_READINGS * interval / NIGHT_SECONDS / row.number("nights");
    assertThat((double) passed)
        .as("beside %.1f in the table", mean)
        .isLessThanOrEqualTo(mean + 3.0 * Math.sqrt(mean));
    assertThat(passed).as("a statistic that never calls is slow").isPositive();
  }

  /** The table's level is a mean over 15 min; the watch's follows wander, and costs a little. */
  @ParameterizedTest
  @MethodSource("rows")
  void fall_passesTheThreshold_asSoonAsInTheTable(ReferenceTable.Row row) {
    for (String rate : new String[] {"0_05", "0_2", "0_5", "1", "3", "10"}) {
      double delay =
          meanDelay(
              row.number("interval_s"),
              row.number("threshold"),
              Double.parseDouble(rate.replace('_', '.')));

      assertThat(delay / row.number("delay_" + rate))
          .as("%s (mg/L)/min: %.1f s", rate, delay)
          .isBetween(0.85, 1.15);
    }
  }

  private double meanDelay(double interval, double threshold, double ratePerMinute) {
    double sum = 0.0;
    int done = 0;
    for (long seed = 1; done < FALLS; seed++) {
      Signals signal =
          new Signals(104_729L * seed, interval, NOISE, T90, 0.0)
              .fallingFrom(BEFORE_SECONDS, ratePerMinute);
      start();
      double score = 0.0;
      while (score < threshold) {
        score = score(interval, signal.next());
      }
      if (signal.now() > signal.onset()) {
        sum += signal.now() - signal.onset();
        done++;
      }
    }
    return sum / FALLS;
  }

  private void start() {
    water.start(9.0, NOISE);
    onsets.start();
  }

  /** The statistic with the noise known and no wander, as the table has it. */
  private double score(double interval, double mgPerL) {
    water.accept(interval, mgPerL, NOISE, 0.0);
    onsets.accept(interval, water, Double.MAX_VALUE);
    return onsets.score();
  }
}
