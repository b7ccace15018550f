// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.time.Duration;
import java.time.Instant;
import java.time.format.DateTimeParseException;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * A stretch of time that a query string asks for.
 *
 * @param from first instant
 * @param to first instant after it
 */
record Span(Instant from, Instant to) {

  private static final Duration LONGEST = Duration.ofDays(31);
  private static final Instant EARLIEST = Instant.EPOCH;
  private static final Instant LATEST = Instant.parse("2200-01-01T00:00:00Z");

  /**
   * Reads {@code from} and {@code to}; without them it ends now and is as long as usual.
   *
   * @throws Problem naming field, value and limit
   */
  static Span of(Map<String, List<String>> parameters, Instant now, Duration usual) {
    return of(parameters, now, usual, LONGEST);
  }

  /** The same with a limit of its own. */
  static Span of(
      Map<String, List<String>> parameters, Instant now, Duration usual, Duration longest) {
    Instant to = instant(parameters, "to").orElse(now);
    Instant from = instant(parameters, "from").orElse(to.minus(usual));
    if (!from.isBefore(to)) {
      throw Problem.misread("from: %s is not before to: %s.".formatted(from, to));
    }
    if (Duration.between(from, to).compareTo(longest) > 0) {
      throw Problem.misread(
          "from, to: %s to %s is longer than %d days.".formatted(from, to, longest.toDays()));
    }
    return new Span(from, to);
  }

  static Optional<Instant> instant(Map<String, List<String>> parameters, String field) {
    return one(parameters, field)
        .map(
            text -> {
              Instant instant;
              try {
                instant = Instant.parse(text);
              } catch (DateTimeParseException e) {
                throw Problem.misread(
                    "%s: '%s' is not a time such as 2026-03-14T02:11:07Z.".formatted(field, text));
              }
              if (!isThinkable(instant)) {
                throw Problem.misread(
                    "%s: %s is not between %s and %s.".formatted(field, text, EARLIEST, LATEST));
              }
              return instant;
            });
  }

  /** Whether a time can be meant; far from now no database and no calendar can count it either. */
  static boolean isThinkable(Instant time) {
    return !time.isBefore(EARLIEST) && !time.isAfter(LATEST);
  }

  static Optional<String> one(Map<String, List<String>> parameters, String field) {
    List<String> values = parameters.getOrDefault(field, List.of());
    if (values.size() > 1) {
      throw Problem.misread("%s: is given %d times.".formatted(field, values.size()));
    }
    return values.stream().findFirst();
  }
}
