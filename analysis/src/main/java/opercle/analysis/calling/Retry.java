// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import java.time.Duration;
import java.util.Optional;
import opercle.analysis.calling.Call.Kind;
import opercle.analysis.calling.CallingState.Pending;

/** When a call that failed is tried again, and for how long. The figures are ours. */
final class Retry {

  private static final Duration FIRST_AGAIN = Duration.ofSeconds(5);
  private static final Duration LAST_AGAIN = Duration.ofMinutes(2);
  private static final Duration GIVEN_UP = Duration.ofMinutes(30);

  /** What is told once is late rather than lost. */
  private static final Duration ONCE_GIVEN_UP = Duration.ofHours(12);

  private static final Duration TEST_GIVEN_UP = Duration.ofMinutes(5);

  /** A channel may ask to be left alone for longer: an alarm must not wait longer. */
  private static final Duration LONGEST_LEFT_ALONE = Duration.ofMinutes(10);

  private Retry() {}

  /** How long after it was made a call of that kind is tried no more. */
  static Duration untilGivenUp(Kind kind) {
    return switch (kind) {
      case TEST -> TEST_GIVEN_UP;
      case NOTICE, MORNING -> ONCE_GIVEN_UP;
      case ALARM, MONITOR, MORE, TAKEN, ENDED -> GIVEN_UP;
    };
  }

  /**
   * Doubling, with up to a quarter less by a figure that the call's key gives; or as it is asked.
   */
  static Duration untilAgain(Pending call, Delivery.Failed failed) {
    long whole = FIRST_AGAIN.toMillis() << Math.min(call.attempts() - 1, 10);
    long longest = Math.min(whole, LAST_AGAIN.toMillis());
    long seed = (call.call().key() + call.attempts()).hashCode() & 0xffffL;
    Duration own = Duration.ofMillis(longest - longest * seed / 0xffffL / 4);
    return leftAlone(failed).filter(asked -> asked.compareTo(own) > 0).orElse(own);
  }

  /** How long the channel is to be left alone, where it asks for that. */
  static Optional<Duration> leftAlone(Delivery.Failed failed) {
    return failed
        .after()
        .map(asked -> asked.compareTo(LONGEST_LEFT_ALONE) > 0 ? LONGEST_LEFT_ALONE : asked);
  }
}
