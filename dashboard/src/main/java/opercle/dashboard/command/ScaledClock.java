// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;

/**
 * A clock that starts right and then runs a number of times as fast as another: for a
 * demonstration, whose probes, watch and pages all share it.
 */
final class ScaledClock implements InstantSource {

  private final InstantSource source;
  private final Instant start;
  private final double speed;

  ScaledClock(InstantSource source, double speed) {
    this.source = source;
    this.start = source.instant();
    this.speed = speed;
  }

  @Override
  public Instant instant() {
    Duration passed = Duration.between(start, source.instant());
    return start.plusNanos(Math.round(passed.toNanos() * speed));
  }
}
