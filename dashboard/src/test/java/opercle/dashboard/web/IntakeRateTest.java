// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;

class IntakeRateTest {

  private final IntakeRate rate = new IntakeRate();

  @Test
  void rate_isNotSaid_beforeItHasLookedForSomeSeconds() {
    assertThat(rate.perMinute()).isEmpty();
    look(0, 0);
    assertThat(rate.perMinute()).isEmpty();
    look(4, 400);
    assertThat(rate.perMinute()).isEmpty();
    look(5, 500);
    assertThat(rate.perMinute()).hasValueCloseTo(6000.0, within(1e-6));
  }

  @Test
  void rate_isThatOfTheLastMinute_alsoWhenNothingComesAnyMore() {
    for (int second = 0; second <= 300; second++) {
      look(second, 10L * Math.min(second, 240));
    }
    assertThat(rate.perMinute()).hasValueCloseTo(0.0, within(1e-6));
    look(301, 2410);
    assertThat(rate.perMinute()).hasValueCloseTo(10.0, within(1e-6));
  }

  private void look(long second, long readings) {
    rate.look(TimeUnit.SECONDS.toNanos(second), readings);
  }
}
