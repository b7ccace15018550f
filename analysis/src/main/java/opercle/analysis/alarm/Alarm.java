// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

import java.time.Instant;
import java.util.Optional;

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
 */
public record Alarm(
    String tank,
    AlarmCause cause,
    Priority priority,
    AlarmState state,
    Instant since,
    Optional<String> acknowledgedBy,
    String message) {}
