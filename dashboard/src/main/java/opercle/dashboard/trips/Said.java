// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.trips;

import java.time.Duration;
import java.util.Locale;
import opercle.analysis.Band;

/** Figures as the report says them. */
final class Said {

  private Said() {}

  static String text(String words, Object... values) {
    return String.format(Locale.ROOT, words, values);
  }

  static String number(double value) {
    return new java.math.BigDecimal(value)
        .round(new java.math.MathContext(5))
        .stripTrailingZeros()
        .toPlainString();
  }

  static String band(Band band, int decimals) {
    String form = "%." + decimals + "f";
    return text(form + " (" + form + "–" + form + ")", band.likely(), band.low(), band.high());
  }

  static String span(Duration length) {
    long minutes = Math.round(length.toSeconds() / 60.0);
    if (length.toSeconds() < 90) {
      return length.toSeconds() + " s";
    }
    return minutes < 120
        ? minutes + " min"
        : "%d h%s"
            .formatted(minutes / 60, minutes % 60 == 0 ? "" : " %d min".formatted(minutes % 60));
  }

  /** To the second, since it was counted to the sample. */
  static String exactly(Duration length) {
    long seconds = Math.round(length.toMillis() / 1000.0);
    return seconds == 0
        ? "never"
        : seconds < 60
            ? seconds + " s"
            : "%d min%s"
                .formatted(seconds / 60, seconds % 60 == 0 ? "" : " %d s".formatted(seconds % 60));
  }
}
