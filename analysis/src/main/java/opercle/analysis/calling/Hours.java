// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import java.time.Instant;
import java.time.LocalTime;
import java.time.ZoneId;

/**
 * A stretch of every day by the clock on the wall, which may go over midnight. On nights when
 * clocks change it is as long as the wall's clock makes it.
 *
 * @param from its first moment
 * @param to the moment at which it is over; the same as {@code from}: the whole day
 */
public record Hours(LocalTime from, LocalTime to) {

  /** Whether an instant is within, at a place. */
  public boolean contain(Instant at, ZoneId zone) {
    LocalTime time = at.atZone(zone).toLocalTime();
    if (from.equals(to)) {
      return true;
    }
    return from.isBefore(to)
        ? !time.isBefore(from) && time.isBefore(to)
        : !time.isBefore(from) || time.isBefore(to);
  }
}
