// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

import java.time.Duration;

/**
 * How the book treats the alarms of one cause. What a cause's set point, deadband and on-delay are
 * is the watch's business and is told in words by {@link AlarmGuide}; on-delays cost time in hand.
 *
 * <p>Off-delays are the two to five minutes of the alarm rationale, section 4: the short one where
 * minutes count and the end is told by a meter or a level, the long one where the cause moves
 * slowly. Either is longer than the minute within which three alarms would be chattering.
 *
 * @param offDelay how long a condition must be absent before its alarm clears
 * @param latches whether, once its condition has ended, the alarm stays until somebody has looked
 *     and resets it: a lost supply that came back by itself is news in the morning. Levels do not
 * @param isOfSupply whether the supply of the tank may be lost, so that the alarms of tanks that
 *     share it are one
 * @param isConsequence whether a lost supply that another alarm speaks for explains it
 */
public record AlarmRule(
    Duration offDelay, boolean latches, boolean isOfSupply, boolean isConsequence) {

  private static final Duration SHORT = Duration.ofMinutes(2);
  private static final Duration LONG = Duration.ofMinutes(5);

  private static final AlarmRule SUPPLY = new AlarmRule(SHORT, true, true, true);
  private static final AlarmRule FALLING = new AlarmRule(SHORT, false, true, true);
  private static final AlarmRule LEVEL = new AlarmRule(SHORT, false, false, true);
  private static final AlarmRule PROBE = new AlarmRule(SHORT, false, false, false);
  private static final AlarmRule SLOW = new AlarmRule(LONG, false, false, false);

  /** The rule of a cause: the one table. */
  public static AlarmRule of(AlarmCause cause) {
    return switch (cause) {
      case GAS_LINE_STOPPED, GAS_NOT_REACHING_WATER -> SUPPLY;
      case OXYGEN_FALLING -> FALLING;
      case OXYGEN_LOW -> LEVEL;
      case PROBE_SILENT, PROBE_SUSPECT -> PROBE;
      case OXYGEN_HIGH,
          CYLINDER_LOW,
          WATER_WARM,
          OXYGEN_UNEVEN,
          LOAD_TOO_HEAVY,
          HELD_TOO_LONG,
          WASTE_HIGH ->
          SLOW;
    };
  }
}
