// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import java.time.DayOfWeek;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalTime;
import java.time.ZoneId;
import java.util.Optional;

/**
 * When the whole way to people is tested: at an hour when they are awake.
 *
 * @param at the time of day
 * @param weekly on which day, where not on every one
 */
public record TestTimes(LocalTime at, Optional<DayOfWeek> weekly) {

  /** The first such moment after an instant. */
  public Instant nextAfter(Instant instant, ZoneId zone) {
    LocalDate day = instant.atZone(zone).toLocalDate();
    while (true) {
      DayOfWeek weekday = day.getDayOfWeek();
      Instant moment = day.atTime(at).atZone(zone).toInstant();
      if (weekly.orElse(weekday) == weekday && moment.isAfter(instant)) {
        return moment;
      }
      day = day.plusDays(1);
    }
  }
}
