// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;

/**
 * A standing alarm.
 *
 * @param tank the tank's id
 * @param cause what it is about
 * @param priority how urgent it is now
 * @param state its state; never {@link AlarmState#NORMAL}
 * @param since when it was raised
 * @param acknowledgedBy who acknowledged it, where somebody has
 * @param message one or two sentences: what, how long, what to do
 * @param annunciated whether it calls for a person; see {@link AlarmEvent#annunciated}
 * @param silencedUntil until when its sound is stopped; empty where it is not
 * @param by who shelved it or took it out of service; empty where nobody did
 * @param until when that ends; empty where nobody did
 * @param root the alarm that speaks for it, whose consequence it is; empty otherwise
 * @param tanks all tanks that it speaks for, the least time in hand first; empty where it is its
 *     own tank alone
 * @param timeInHandMinutes the minutes that it tells as of now, the least of all its tanks; empty
 *     where it tells none
 */
public record Alarm(
    String tank,
    AlarmCause cause,
    Priority priority,
    AlarmState state,
    Instant since,
    Optional<String> acknowledgedBy,
    String message,
    boolean annunciated,
    Optional<Instant> silencedUntil,
    Optional<String> by,
    Optional<Instant> until,
    Optional<AlarmId> root,
    List<String> tanks,
    OptionalDouble timeInHandMinutes) {

  public Alarm {
    tanks = List.copyOf(tanks);
  }

  /** An alarm of one tank alone that is neither silenced nor put aside. */
  public Alarm(
      String tank,
      AlarmCause cause,
      Priority priority,
      AlarmState state,
      Instant since,
      Optional<String> acknowledgedBy,
      String message) {
    this(
        tank,
        cause,
        priority,
        state,
        since,
        acknowledgedBy,
        message,
        state.callsSomebody(),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        List.of(),
        OptionalDouble.empty());
  }

  /** Which alarm. */
  public AlarmId id() {
    return new AlarmId(tank, cause);
  }

  /** Whether it makes a sound at the screen now: it calls, and nobody has silenced it. */
  public boolean isSounding() {
    return annunciated && silencedUntil.isEmpty();
  }
}
