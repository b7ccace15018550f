// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.monitor;

import java.time.Duration;
import java.time.Instant;
import java.util.Optional;

/**
 * Compares the wall clock with one that never steps. A value.
 *
 * @param wall the wall clock at the last look
 * @param steadyNanos the other then, ns
 */
public record ClockSteps(Instant wall, long steadyNanos) {

  /** A clock that is disciplined by the network is slewed by far less than this between looks. */
  public static final Duration LEAST = Duration.ofSeconds(2);

  /** By how much the wall clock went further than the other since then; empty if by little. */
  public Optional<Duration> step(Instant wallNow, long steadyNow) {
    Duration step =
        Duration.between(wall, wallNow).minus(Duration.ofNanos(steadyNow - steadyNanos));
    return step.abs().compareTo(LEAST) >= 0 ? Optional.of(step) : Optional.empty();
  }
}
