// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

import java.time.Instant;

/**
 * A stretch of which alarm events are missing in the history.
 *
 * @param first time of the first one that is missing
 * @param last time of the last one
 * @param events how many are missing, at least 1
 */
public record AlarmGap(Instant first, Instant last, int events) {

  /** One more is missing. */
  public AlarmGap and(Instant time) {
    return new AlarmGap(
        time.isBefore(first) ? time : first, time.isAfter(last) ? time : last, events + 1);
  }
}
