// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.access;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import org.junit.jupiter.api.Test;

class LogInThrottleTest {

  private static final String HOME = "192.0.2.7";
  private static final String STRANGER = "198.51.100.9";

  private final LogInThrottle throttle = new LogInThrottle();
  private Instant now = Instant.parse("2026-03-14T02:00:00Z");

  @Test
  void delay_doublesWithEveryWrongTry_upToAMinute() {
    for (int i = 0; i < 3; i++) {
      assertThat(throttle.ask("maren", HOME, now)).isZero();
    }
    for (int seconds : new int[] {1, 2, 4, 8, 16, 32, 60, 60}) {
      assertThat(throttle.ask("maren", HOME, now)).isEqualTo(Duration.ofSeconds(seconds));
      now = now.plusSeconds(seconds);
      assertThat(throttle.ask("maren", HOME, now)).isZero();
    }
  }

  @Test
  void waiting_isNotMadeLongerByAskingMeanwhile() {
    wrong("maren", HOME, 4);
    for (int i = 0; i < 100; i++) {
      throttle.ask("maren", HOME, now);
    }

    assertThat(throttle.ask("maren", HOME, now.plusSeconds(2))).isZero();
  }

  @Test
  void manyAtOnce_areNotAllFree() {
    long tried = 0;
    for (int i = 0; i < 50; i++) {
      tried += throttle.ask("maren", HOME, now).isZero() ? 1 : 0;
    }

    assertThat(tried).isEqualTo(3);
  }

  @Test
  void manyNamesFromOneAddress_haveToWaitToo() {
    for (int i = 0; i < 10; i++) {
      assertThat(throttle.ask("name" + i, STRANGER, now)).isZero();
    }

    assertThat(throttle.ask("another", STRANGER, now)).isPositive();
    assertThat(throttle.ask("another", HOME, now)).isZero();
  }

  @Test
  void oneNameFromManyAddresses_hasToWaitToo_atMostHalfAMinute() {
    for (int i = 0; i < 20; i++) {
      assertThat(throttle.ask("maren", "198.51.100." + i, now)).isZero();
      now = now.plusMillis(1);
    }
    for (int i = 0; i < 40; i++) {
      Duration wait = throttle.ask("maren", "203.0.113." + i, now);
      assertThat(wait).isPositive().isLessThanOrEqualTo(Duration.ofSeconds(30));
      now = now.plus(wait);
      assertThat(throttle.ask("maren", "203.0.113." + i, now)).isZero();
    }
  }

  @Test
  void keeper_isNotKeptOut_byStrangersWhoTryTheName() {
    assertThat(throttle.ask("maren", HOME, now)).isZero();
    throttle.succeeded("maren", HOME);
    for (int i = 0; i < 200; i++) {
      throttle.ask("maren", "198.51.100." + i, now);
    }

    assertThat(throttle.ask("maren", "203.0.113.1", now)).isPositive();
    assertThat(throttle.ask("maren", HOME, now)).isZero();
  }

  @Test
  void rightTry_startsAnew() {
    wrong("maren", HOME, 3);
    now = now.plusSeconds(1);
    assertThat(throttle.ask("maren", HOME, now)).isZero();
    throttle.succeeded("maren", HOME);

    assertThat(throttle.ask("maren", HOME, now)).isZero();
    assertThat(throttle.ask("maren", HOME, now)).isZero();
    assertThat(throttle.ask("maren", HOME, now)).isZero();
    assertThat(throttle.ask("maren", HOME, now)).isPositive();
  }

  @Test
  void wrongTries_areForgottenAfterAnHour_andAClockPutBackKeepsNobodyOut() {
    wrong("maren", HOME, 12);

    assertThat(throttle.ask("maren", HOME, now.minus(Duration.ofDays(1)))).isZero();
    now = now.plus(Duration.ofMinutes(61));
    assertThat(throttle.ask("maren", HOME, now)).isZero();
    assertThat(throttle.ask("maren", HOME, now)).isZero();
  }

  private void wrong(String user, String address, int times) {
    for (int i = 0; i < times; i++) {
      now = now.plus(throttle.ask(user, address, now));
      Duration unused = i < 3 ? Duration.ZERO : throttle.ask(user, address, now);
    }
  }
}
