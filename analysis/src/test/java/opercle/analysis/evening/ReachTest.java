// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.evening;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import opercle.analysis.evening.Reach.Way;
import org.junit.jupiter.api.Test;

class ReachTest {

  private static final Optional<Instant> NOON = Optional.of(Instant.parse("2026-03-14T12:00:00Z"));
  private static final Optional<String> DEAD = Optional.of("no connection");

  private static Way way(String channel, Optional<Instant> tested, Optional<String> trouble) {
    return new Way("Maren", channel, tested, trouble);
  }

  private static Optional<Boolean> canCall(Way... ways) {
    return new Reach(true, List.of(ways)).canCall();
  }

  @Test
  void wayThatWasNeverTried_doesNotStandInForOneThatWorkedAndIsDead() {
    Way dead = way("mail", NOON, DEAD);
    Way neverTried = way("push", Optional.empty(), Optional.empty());

    assertThat(canCall(dead, neverTried)).contains(false);
    assertThat(canCall(dead, way("push", NOON, Optional.empty()))).contains(true);
  }

  @Test
  void wayThatTookACall_isProvedWithoutATest() {
    Way called = new Way("Maren", "mail", Optional.empty(), Optional.empty(), NOON);

    assertThat(canCall(way("push", NOON, DEAD), called)).contains(true);
  }

  @Test
  void beforeAnyWasTried_oneThatNothingIsKnownAgainst_hasToDo() {
    assertThat(canCall(way("mail", Optional.empty(), Optional.empty()))).contains(true);
    assertThat(canCall(way("mail", Optional.empty(), DEAD))).contains(false);
    assertThat(canCall()).isEmpty();
  }
}
