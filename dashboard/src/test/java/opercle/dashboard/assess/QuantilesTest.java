// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.stream.DoubleStream;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;

class QuantilesTest {

  @Test
  void nearestRank_isAValueOfTheSample() {
    assertThat(Quantiles.median(DoubleStream.of(3, 1, 2))).hasValue(2.0);
    assertThat(Quantiles.median(DoubleStream.of(4, 1, 2, 3))).hasValue(2.0);
    assertThat(Quantiles.of(IntStream.rangeClosed(1, 20).asDoubleStream(), 0.95)).hasValue(19.0);
    assertThat(Quantiles.of(DoubleStream.of(7), 0.95)).hasValue(7.0);
  }

  @Test
  void nothing_orNever_hasNoQuantile() {
    assertThat(Quantiles.median(DoubleStream.empty())).isEmpty();
    assertThat(Quantiles.of(DoubleStream.of(1, Double.POSITIVE_INFINITY), 0.95)).isEmpty();
  }
}
