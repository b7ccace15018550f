// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.figures;

import java.time.DateTimeException;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalTime;
import java.time.ZoneId;
import java.time.temporal.IsoFields;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * A week of ISO 8601, Monday to Sunday, by the farm's own clock: in the weeks in which that is put
 * forward or back it has 167 or 169 hours.
 *
 * @param monday its first day
 * @param zone the farm's time zone
 */
public record Week(LocalDate monday, ZoneId zone) {

  /** When people sleep, by the farm's clock; ours. */
  private static final LocalTime NIGHT_BEGINS = LocalTime.of(22, 0);

  private static final LocalTime NIGHT_ENDS = LocalTime.of(6, 0);

  private static final Pattern TEXT = Pattern.compile("(\\d{4})-W(\\d{2})");

  /** The week that an instant lies in. */
  public static Week of(Instant instant, ZoneId zone) {
    LocalDate day = LocalDate.ofInstant(instant, zone);
    return new Week(day.minusDays(day.getDayOfWeek().getValue() - 1L), zone);
  }

  /**
   * Reads a week such as {@code 2026-W13}.
   *
   * @throws IllegalArgumentException if it is none, in words for a person
   */
  public static Week of(String text, ZoneId zone) {
    Matcher parts = TEXT.matcher(text);
    if (parts.matches()) {
      try {
        int year = Integer.parseInt(parts.group(1));
        int number = Integer.parseInt(parts.group(2));
        LocalDate inYear = LocalDate.of(year, 1, 4); // always in week 1
        if (IsoFields.WEEK_OF_WEEK_BASED_YEAR.rangeRefinedBy(inYear).isValidValue(number)) {
          return new Week(
              inYear
                  .with(IsoFields.WEEK_OF_WEEK_BASED_YEAR, number)
                  .with(java.time.DayOfWeek.MONDAY),
              zone);
        }
      } catch (DateTimeException e) {
        // told below
      }
    }
    throw new IllegalArgumentException("'%s' is not a week such as 2026-W13".formatted(text));
  }

  /** Midnight, or the first instant, of its Monday. */
  public Instant start() {
    return monday.atStartOfDay(zone).toInstant();
  }

  /** The first instant of the week after. */
  public Instant end() {
    return monday.plusWeeks(1).atStartOfDay(zone).toInstant();
  }

  /** The week before. */
  public Week before() {
    return new Week(monday.minusWeeks(1), zone);
  }

  /** The week after. */
  public Week after() {
    return new Week(monday.plusWeeks(1), zone);
  }

  /** Hours of it until an instant. */
  public double hoursUntil(Instant now) {
    Instant until = now.isBefore(end()) ? now : end();
    return Math.max(0.0, Duration.between(start(), until).toMillis() / 3_600_000.0);
  }

  /** Whether people sleep then: from ten in the evening to six in the morning. */
  public boolean isNight(Instant instant) {
    LocalTime time = LocalTime.ofInstant(instant, zone);
    return !time.isBefore(NIGHT_BEGINS) || time.isBefore(NIGHT_ENDS);
  }

  /** The first instant of each of its days, and its end. */
  List<Instant> midnights() {
    List<Instant> midnights = new ArrayList<>();
    for (int day = 0; day <= 7; day++) {
      midnights.add(monday.plusDays(day).atStartOfDay(zone).toInstant());
    }
    return midnights;
  }

  /** Its nights that have begun by an instant: those that begin on its seven evenings. */
  int nightsBegunBy(Instant now) {
    int nights = 0;
    for (int day = 0; day < 7; day++) {
      if (!monday.plusDays(day).atTime(NIGHT_BEGINS).atZone(zone).toInstant().isAfter(now)) {
        nights++;
      }
    }
    return nights;
  }

  /** As in ISO 8601, for instance {@code 2026-W13}. */
  public String id() {
    return String.format(
        Locale.ROOT,
        "%04d-W%02d",
        monday.get(IsoFields.WEEK_BASED_YEAR),
        monday.get(IsoFields.WEEK_OF_WEEK_BASED_YEAR));
  }
}
