// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.monitor;

import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.Locale;

/**
 * Times in the monitor's sentences: pages find them by this form and say them in the farm's time.
 */
final class TimeWords {

  private static final DateTimeFormatter FORM =
      DateTimeFormatter.ofPattern("d MMM uuuu HH:mm 'UTC'", Locale.UK).withZone(ZoneOffset.UTC);

  private TimeWords() {}

  /** For instance {@code 14 Mar 2026 02:00 UTC}. */
  static String of(Instant time) {
    return FORM.format(time);
  }
}
