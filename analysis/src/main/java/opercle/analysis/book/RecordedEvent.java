// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import opercle.analysis.alarm.AlarmEvent;

/**
 * An alarm event with its place in the history.
 *
 * @param number where it stands in the order of recording; greater is later
 * @param event the event
 */
public record RecordedEvent(long number, AlarmEvent event) {}
