// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.concurrent.atomic.AtomicReference;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class ScaledClockTest {

  private static final Instant START = Instant.parse("2026-03-14T02:00:00Z");

  @ParameterizedTest
  @CsvSource({"1, 90000", "60, 5400000", "0.5, 45000"})
  void clock_startsRightAndRunsSoManyTimesAsFast(double speed, long expectedMillis) {
    AtomicReference<Instant> now = new AtomicReference<>(START);
    ScaledClock clock = new ScaledClock(now::get, speed);
    assertThat(clock.instant()).isEqualTo(START);

    now.set(START.plusSeconds(90));

    assertThat(clock.instant()).isEqualTo(START.plusMillis(expectedMillis));
  }
}
