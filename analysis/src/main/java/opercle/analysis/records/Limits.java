// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalLong;

/** What may stand in a field; whatever may not is refused by the field's name. */
final class Limits {

  private static final int LINE = 120;
  private static final int NOTE = 1000;
  private static final long MOST_FISH = 100_000_000L;

  private Limits() {}

  static String line(String field, String text) {
    String stripped = text.strip();
    if (stripped.isEmpty() || stripped.length() > LINE) {
      throw new WrongFieldException(
          field, "must have 1–%d letters but has %d".formatted(LINE, stripped.length()));
    }
    if (stripped.codePoints().anyMatch(Character::isISOControl)) {
      throw new WrongFieldException(
          field,
          "must be on one line, without control characters",
          "must be on one line, without signs that cannot be shown");
    }
    return stripped;
  }

  static Optional<String> line(String field, Optional<String> text) {
    return text.map(String::strip).filter(t -> !t.isEmpty()).map(t -> line(field, t));
  }

  /** May have lines. */
  static Optional<String> note(String field, Optional<String> text) {
    Optional<String> stripped = text.map(String::strip).filter(t -> !t.isEmpty());
    stripped.ifPresent(
        t -> {
          if (t.length() > NOTE) {
            throw new WrongFieldException(
                field, "must have at most %d letters but has %d".formatted(NOTE, t.length()));
          }
          if (t.codePoints().anyMatch(c -> Character.isISOControl(c) && c != '\n' && c != '\r')) {
            throw new WrongFieldException(
                field,
                "must not have control characters",
                "must not have signs that cannot be shown");
          }
        });
    return stripped;
  }

  static OptionalLong fish(String field, OptionalLong count, long least) {
    count.ifPresent(
        n -> {
          if (n < least || n > MOST_FISH) {
            throw new WrongFieldException(
                field, "must be %d–%d fish but was %d".formatted(least, MOST_FISH, n));
          }
        });
    return count;
  }

  static OptionalDouble above0(String field, OptionalDouble value, double most, String unit) {
    value.ifPresent(
        v -> {
          if (!(v > 0.0 && v <= most)) {
            String rule = "must be above 0 %s and at most %.0f %s".formatted(unit, most, unit);
            throw new WrongFieldException(field, rule + " but was " + plain(v), rule);
          }
        });
    return value;
  }

  static OptionalDouble within(
      String field, OptionalDouble value, double least, double most, String unit) {
    value.ifPresent(
        v -> {
          if (!(v >= least && v <= most)) {
            String rule =
                "must be %s–%s%s"
                    .formatted(plain(least), plain(most), unit.isEmpty() ? "" : " " + unit);
            throw new WrongFieldException(
                field, rule + " but was " + plain(v), rule.replace("%", "%%"));
          }
        });
    return value;
  }

  private static String plain(double value) {
    return value == Math.rint(value) ? Long.toString((long) value) : Double.toString(value);
  }
}
