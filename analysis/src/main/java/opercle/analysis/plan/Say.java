// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.plan;

import java.math.BigDecimal;
import java.math.MathContext;
import java.util.Locale;
import opercle.analysis.Band;

/** Numbers as a person says them: two figures or so, a dot, and words for what has no end. */
final class Say {

  private Say() {}

  /** A number with about two figures: 0.004, 0.22, 4.5, 38, 1320. */
  static String number(double value) {
    if (Double.isInfinite(value)) {
      return "no end";
    }
    if (value == 0.0) {
      return "0";
    }
    double size = Math.abs(value);
    if (size < 0.0095) { // two decimals would say that there is nothing
      return BigDecimal.valueOf(value).round(new MathContext(1)).toPlainString();
    }
    String format = size < 0.995 ? "%.2f" : size < 19.95 ? "%.1f" : "%.0f";
    return String.format(Locale.ROOT, format, value);
  }

  /** Low to high, for instance {@code 1.4–7.1}. */
  static String range(Band band) {
    return number(band.low()) + "–" + number(band.high());
  }

  /** Low and high, for instance {@code 1.4 and 7.1}. */
  static String between(Band band) {
    return number(band.low()) + " and " + number(band.high());
  }

  /** Whole minutes, or hours or days where they are many: {@code 38 min}, {@code 7.5 h}. */
  static String minutes(double minutes) {
    if (Double.isInfinite(minutes)) {
      return "no end";
    }
    if (minutes < 0.05) {
      return "0 min";
    }
    if (minutes > 4320.0) {
      return number(minutes / 1440.0) + " days";
    }
    if (minutes >= 180.0) {
      return number(minutes / 60.0) + " h";
    }
    return String.format(Locale.ROOT, minutes < 10.0 ? "%.1f min" : "%.0f min", minutes);
  }

  /** Low to high of a time, for instance {@code 43 min–6.4 h}. */
  static String minutesRange(Band minutes) {
    return minutes(minutes.low()) + "–" + minutes(minutes.high());
  }

  static String degrees(double celsius) {
    return String.format(Locale.ROOT, "%.1f °C", celsius);
  }
}
