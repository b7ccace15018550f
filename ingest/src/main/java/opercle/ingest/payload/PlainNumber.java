// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.payload;

import java.util.Locale;
import java.util.OptionalDouble;

/** A number written out in ASCII, as probes send it: {@code 8.62}, {@code -0.5}, {@code 1.2e3}. */
final class PlainNumber {

  /** No probe has more digits than this to give. */
  private static final int LONGEST = 64;

  private PlainNumber() {}

  /**
   * The number, or empty if the text is not one. Stricter than {@link Double#parseDouble}, which
   * takes {@code 1d}, {@code 0x1p3} and white space too.
   */
  static OptionalDouble parse(String text) {
    if (text.isEmpty() || text.length() > LONGEST) {
      return OptionalDouble.empty();
    }
    for (int i = 0; i < text.length(); i++) {
      char c = text.charAt(i);
      boolean fits = (c >= '0' && c <= '9') || ".+-eE".indexOf(c) >= 0;
      if (!fits) {
        return OptionalDouble.empty();
      }
    }
    try {
      return OptionalDouble.of(Double.parseDouble(text));
    } catch (NumberFormatException e) {
      return OptionalDouble.empty();
    }
  }

  /** Whether a text stands for "not a number" or "infinite", as languages print them. */
  static boolean isNotFinite(String text) {
    return switch (text.toLowerCase(Locale.ROOT).replaceFirst("^[+-]", "")) {
      case "nan", "inf", "infinity", "-nan(ind)", "1.#inf", "1.#qnan", "null", "none" -> true;
      default -> false;
    };
  }
}
