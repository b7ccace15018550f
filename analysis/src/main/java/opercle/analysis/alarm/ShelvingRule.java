// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

import java.time.Duration;

/** For how long an alarm may be silenced or put aside; alarm rationale, section 2. */
public final class ShelvingRule {

  /** A silence, as is usual for pauses of medical alarms (from memory). */
  public static final Duration SILENCE = Duration.ofMinutes(2);

  /** The longest shelf for an alarm of high priority. */
  public static final Duration LONGEST_HIGH = Duration.ofMinutes(30);

  /** The longest shelf for any other: a working day, or a night's sleep (common practice). */
  public static final Duration LONGEST_OTHER = Duration.ofHours(8);

  private static final Duration SHORTEST = Duration.ofMinutes(1);

  private ShelvingRule() {}

  /**
   * The longest shelf for an alarm of that priority.
   *
   * @param priority how urgent it is
   */
  public static Duration longest(Priority priority) {
    return priority == Priority.HIGH ? LONGEST_HIGH : LONGEST_OTHER;
  }

  static void check(Priority priority, Duration length) {
    Duration longest = longest(priority);
    if (length.compareTo(SHORTEST) < 0 || length.compareTo(longest) > 0) {
      throw new RefusedActException(
          "An alarm of %s priority can be put aside for 1 to %d minutes, not for %d."
              .formatted(priority.id(), longest.toMinutes(), length.toMinutes()));
    }
  }
}
