// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

import java.util.OptionalDouble;

/**
 * What a watch finds to be the matter with a tank at one instant: the input of the {@link
 * AlarmBook}.
 *
 * @param cause what it is about
 * @param priority how urgent it is now
 * @param gist the matter in words that stay the same while it stays the same, without figures; a
 *     new gist on a standing alarm is news ({@link AlarmEvent.Kind#CHANGED})
 * @param timeInHandMinutes likely time in hand, minutes; empty where not known or not falling
 * @param oxygenMgPerL oxygen now, mg/L; empty where not known
 * @param message the whole text for a person: what, how long, what to do
 */
public record Finding(
    AlarmCause cause,
    Priority priority,
    String gist,
    OptionalDouble timeInHandMinutes,
    OptionalDouble oxygenMgPerL,
    String message) {

  /** The gist of gas that came and went, and now stays away: it calls whoever had the former. */
  public static final String STAYS_AWAY = "gas stays away";

  Finding with(Priority other) {
    return new Finding(cause, other, gist, timeInHandMinutes, oxygenMgPerL, message);
  }

  Finding withGist(String other) {
    return new Finding(cause, priority, other, timeInHandMinutes, oxygenMgPerL, message);
  }
}
