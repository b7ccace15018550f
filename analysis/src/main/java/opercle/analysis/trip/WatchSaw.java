// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.time.Instant;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.Priority;

/**
 * An alarm that the watch raised on the trip.
 *
 * @param at when it was raised
 * @param cause which
 * @param priority how urgent it was then
 * @param message its words
 */
public record WatchSaw(Instant at, AlarmCause cause, Priority priority, String message) {}
