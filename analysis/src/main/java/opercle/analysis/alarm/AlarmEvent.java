// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

import java.time.Instant;
import java.util.Locale;
import java.util.OptionalDouble;

/**
 * Something that happened to an alarm: what MQTT, webhooks and {@code replay} tell.
 *
 * @param time when, in event time
 * @param tank the tank's id
 * @param cause what the alarm is about
 * @param event what happened
 * @param priority how urgent it is now
 * @param state the alarm's state after the event
 * @param timeInHandMinutes likely time in hand, minutes; empty where it is not known or not falling
 * @param oxygenMgPerL oxygen at the event, mg/L; empty where not known
 * @param message one or two sentences for somebody woken at three in the morning
 */
public record AlarmEvent(
    Instant time,
    String tank,
    AlarmCause cause,
    Kind event,
    Priority priority,
    AlarmState state,
    OptionalDouble timeInHandMinutes,
    OptionalDouble oxygenMgPerL,
    String message) {

  /** What can happen to an alarm. */
  public enum Kind {
    RAISED,
    ESCALATED,
    CHANGED,
    ACKNOWLEDGED,
    SHELVED,
    UNSHELVED,
    CLEARED;

    /** The word in events. */
    public String id() {
      return name().toLowerCase(Locale.ROOT);
    }
  }
}
