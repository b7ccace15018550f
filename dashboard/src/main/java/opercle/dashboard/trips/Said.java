// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.trips;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.time.Duration;
import java.util.Locale;
import opercle.analysis.Band;

/** Figures as the report says them. */
final class Said {

  private Said() {}

  static String text(String words, Object... values) {
    return String.format(Locale.ROOT, words, values);
  }

  /** A weight or an amount of water, with no digits that come only of having been typed in lb. */
  static String number(double value) {
    int decimals = value >= 100.0 ? 1 : value >= 10.0 ? 2 : 3;
    return BigDecimal.valueOf(value)
        .setScale(decimals, RoundingMode.HALF_UP)
        .stripTrailingZeros()
        .toPlainString();
  }

  /** What is reckoned, with the bounds that it lies between eight times in ten, if it has any. */
  static String band(Band band, String unit) {
    String low = text("%.0f", band.low());
    String high = text("%.0f", band.high());
    String likely = text("%.0f %s", band.likely(), unit);
    return low.equals(high) ? likely : "%s, likely between %s and %s".formatted(likely, low, high);
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
