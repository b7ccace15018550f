// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.evening;

import java.time.Duration;
import java.util.Locale;

/** Figures as the evening check says them. Minutes in hand are cut, minutes needed rounded up. */
final class Spoken {

  private Spoken() {}

  /** Time there is. */
  static String have(double minutes) {
    if (minutes < 1.0) {
      return "less than 1 min";
    }
    return minutes < 180.0 ? (int) minutes + " min" : (int) (minutes / 60.0) + " h";
  }

  /** Time that is needed. */
  static String need(double minutes) {
    return minutes < 180.0
        ? (int) Math.ceil(minutes) + " min"
        : (int) Math.ceil(minutes / 60.0) + " h";
  }

  static String celsius(double celsius) {
    return String.format(Locale.ROOT, "%.1f °C", celsius);
  }

  /** Cut, so that what is below a floor is not told as at it. */
  static String oxygen(double mgPerL) {
    return String.format(Locale.ROOT, "%.1f mg/L", Math.floor(10.0 * mgPerL + 1e-9) / 10.0);
  }

  static String hours(Duration ago) {
    long minutes = Math.max(0, ago.toMinutes());
    if (minutes < 120) {
      return minutes + " min";
    }
    return minutes < 48 * 60 ? minutes / 60 + " h" : minutes / (24 * 60) + " days";
  }
}
