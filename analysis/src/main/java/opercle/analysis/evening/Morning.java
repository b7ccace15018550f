// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.evening;

import java.time.Instant;
import java.time.LocalTime;
import java.time.ZoneId;
import java.time.ZonedDateTime;

/**
 * When somebody looks again.
 *
 * @param at the time of day
 * @param zone the farm's time zone
 */
public record Morning(LocalTime at, ZoneId zone) {

  /** The usual time (common practice). */
  public static final LocalTime USUAL = LocalTime.of(7, 0);

  /** The first such moment after an instant. */
  public Instant after(Instant instant) {
    ZonedDateTime local = instant.atZone(zone);
    ZonedDateTime today = local.toLocalDate().atTime(at).atZone(zone);
    return today.toInstant().isAfter(instant)
        ? today.toInstant()
        : local.toLocalDate().plusDays(1).atTime(at).atZone(zone).toInstant();
  }
}
