// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.access;

import java.time.Duration;
import java.time.Instant;

/**
 * How long a log-in holds.
 *
 * @param idle without being used
 * @param most in all
 */
public record SessionRules(Duration idle, Duration most) {

  /**
   * A phone beside the bed must not have been logged out overnight, nor over a weekend; a lost one
   * must be some day (common practice).
   */
  public static final SessionRules USUAL =
      new SessionRules(Duration.ofDays(7), Duration.ofDays(90));

  /** A use is written down only when the last one is this long ago, to spare the disk. */
  static final Duration NOTED_EVERY = Duration.ofMinutes(10);

  public SessionRules {
    if (idle.compareTo(Duration.ofHours(1)) < 0 || most.compareTo(idle) < 0) {
      throw new IllegalArgumentException(
          "a session must last 1 h or more unused, and at least as long in all, but was %s and %s"
              .formatted(idle, most));
    }
  }

  /** Whether a session that began and was seen then still holds; a clock put back ends none. */
  boolean holds(Instant since, Instant seen, Instant now) {
    return now.isBefore(since.plus(most)) && now.isBefore(seen.plus(idle));
  }

  static boolean isWorthNoting(Instant seen, Instant now) {
    return !now.isBefore(seen.plus(NOTED_EVERY));
  }
}
