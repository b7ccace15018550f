// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

import java.time.Instant;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;

/**
 * Something that happened to an alarm: what MQTT, webhooks and {@code replay} tell. Tank, cause and
 * {@code since} together name one occurrence of an alarm, from raised to its end.
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
 * @param since when this occurrence of the alarm was raised
 * @param annunciated whether the alarm, as it is after the event, calls for a person: its condition
 *     is present, nobody has it, and it is neither shelved, out of service nor another's
 *     consequence. Silencing does not change it
 * @param by the person whose act this was, or who had shelved or silenced what now comes back;
 *     empty for what the watch itself did
 * @param until when a silence, a shelving or a time out of service ends; empty otherwise
 * @param root the alarm whose consequence this one is and that speaks for it; empty otherwise
 * @param tanks all tanks that this alarm speaks for, the least time in hand first; empty where it
 *     is its own tank alone
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
    String message,
    Instant since,
    boolean annunciated,
    Optional<String> by,
    Optional<Instant> until,
    Optional<AlarmId> root,
    List<String> tanks) {

  public AlarmEvent {
    tanks = List.copyOf(tanks);
  }

  /** An event of an alarm raised at that time, of one tank alone, that nobody acted on. */
  public AlarmEvent(
      Instant time,
      String tank,
      AlarmCause cause,
      Kind event,
      Priority priority,
      AlarmState state,
      OptionalDouble timeInHandMinutes,
      OptionalDouble oxygenMgPerL,
      String message) {
    this(
        time,
        tank,
        cause,
        event,
        priority,
        state,
        timeInHandMinutes,
        oxygenMgPerL,
        message,
        time,
        state.callsSomebody(),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        List.of());
  }

  /** Which alarm it happened to. */
  public AlarmId id() {
    return new AlarmId(tank, cause);
  }

  /** What can happen to an alarm. */
  public enum Kind {
    /** The condition is present, and there was no alarm of it. */
    RAISED,
    /** More urgent than before; an acknowledgement is taken back. */
    ESCALATED,
    /** Other words, other tanks, much less time, or less urgent. */
    CHANGED,
    /** A named person has it. */
    ACKNOWLEDGED,
    /** A named person put it aside for a while. */
    SHELVED,
    /** It is no longer put aside. */
    UNSHELVED,
    /** The condition has ended. The state says whether anything is still owed. */
    CLEARED,
    /** A named person stopped the sound for a while; the state is as before. */
    SILENCED,
    /** A named person has looked, and what was latched is done with. */
    RESET,
    /** Somebody has it, but it got worse, or not better in time: a new call. */
    RE_ALARMED,
    /** Another alarm speaks for it now. */
    SUPPRESSED,
    /** No other alarm speaks for it any longer. */
    UNSUPPRESSED,
    /** Its tank or cause was taken out of service. */
    OUT_OF_SERVICE,
    /** Its tank or cause is back in service. */
    RETURNED_TO_SERVICE;

    /** The word in events, for instance {@code returned-to-service}. */
    public String id() {
      return name().toLowerCase(Locale.ROOT).replace('_', '-');
    }
  }
}
