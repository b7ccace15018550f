// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Random;
import org.junit.jupiter.api.Test;

class TrendTest {

  @Test
  void straightFall_hasItsSlopeAndNoError() {
    Trend trend = Trend.NOT_HEARD;
    for (int i = 0; i < 200; i++) {
      trend = trend.next(Micros.of(5.0 * i), 9.0 - 0.5 * i * 5.0 / 60.0, 60.0);
    }

    assertThat(trend.slopePerMinute()).isCloseTo(-0.5, within(1e-9));
    assertThat(trend.slopeErrorPerMinute()).isCloseTo(0.0, within(1e-6));
    assertThat(trend.newest()).isCloseTo(9.0 - 0.5 * 199 * 5.0 / 60.0, within(1e-12));
  }

  @Test
  void slopeError_isTheScatterOfTheSlope() {
    Random random = new Random(7);
    double sumOfSquares = 0.0;
    double claimed = 0.0;
    int runs = 400;
    for (int run = 0; run < runs; run++) {
      Trend trend = Trend.NOT_HEARD;
      for (int i = 0; i < 300; i++) {
        trend = trend.next(Micros.of(5.0 * i), 9.0 + 0.05 * random.nextGaussian(), 5.0);
      }
      sumOfSquares += trend.slopePerMinute() * trend.slopePerMinute();
      claimed += trend.slopeErrorPerMinute();
    }

    assertThat(claimed / runs / Math.sqrt(sumOfSquares / runs)).isBetween(0.85, 1.15);
  }

  @Test
  void longGap_forgetsTheOldLine() {
    Trend trend = Trend.NOT_HEARD;
    for (int i = 0; i < 100; i++) {
      trend = trend.next(Micros.of(5.0 * i), 9.0 - 0.1 * i, 5.0);
    }
    for (int i = 0; i < 20; i++) {
      trend = trend.next(Micros.of(86_400.0 + 5.0 * i), 7.0, 60.0);
    }

    assertThat(trend.slopePerMinute()).isCloseTo(0.0, within(1e-3));
  }
}
