// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.time.Duration;
import java.time.Instant;
import java.time.format.DateTimeParseException;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import opercle.ingest.reading.Quantity;

/**
 * What part of which trace is asked for.
 *
 * @param quantity what was measured
 * @param probe one probe only; empty: all
 * @param from first instant
 * @param to first instant after it
 * @param points into how many parts the span is gathered
 */
record TraceQuery(Quantity quantity, Optional<String> probe, Instant from, Instant to, int points) {

  private static final Duration USUAL_SPAN = Duration.ofHours(24);
  private static final Duration LONGEST_SPAN = Duration.ofDays(31);
  private static final Instant EARLIEST = Instant.EPOCH;
  private static final Instant LATEST = Instant.parse("2200-01-01T00:00:00Z");
  private static final int USUAL_POINTS = 600;
  private static final int MOST_POINTS = 2000;

  /**
   * Reads a query string's parameters.
   *
   * @throws Problem naming field, value and limit
   */
  static TraceQuery of(Map<String, List<String>> parameters, Instant now) {
    String quantityId = one(parameters, "quantity").orElse(Quantity.OXYGEN.id());
    Quantity quantity =
        Quantity.of(quantityId)
            .orElseThrow(
                () -> Problem.badRequest("quantity: there is no '%s'.".formatted(quantityId)));
    Instant to = instant(parameters, "to").orElse(now);
    Instant from = instant(parameters, "from").orElse(to.minus(USUAL_SPAN));
    if (!from.isBefore(to)) {
      throw Problem.badRequest("from: %s is not before to: %s.".formatted(from, to));
    }
    if (Duration.between(from, to).compareTo(LONGEST_SPAN) > 0) {
      throw Problem.badRequest(
          "from, to: %s to %s is longer than %d days.".formatted(from, to, LONGEST_SPAN.toDays()));
    }
    return new TraceQuery(quantity, one(parameters, "probe"), from, to, points(parameters));
  }

  private static int points(Map<String, List<String>> parameters) {
    String text = one(parameters, "points").orElse(Integer.toString(USUAL_POINTS));
    int points;
    try {
      points = Integer.parseInt(text);
    } catch (NumberFormatException e) {
      points = 0;
    }
    if (points < 1 || points > MOST_POINTS) {
      throw Problem.badRequest(
          "points: must be a whole number 1–%d but was '%s'.".formatted(MOST_POINTS, text));
    }
    return points;
  }

  static Optional<Instant> instant(Map<String, List<String>> parameters, String field) {
    return one(parameters, field)
        .map(
            text -> {
              Instant instant;
              try {
                instant = Instant.parse(text);
              } catch (DateTimeParseException e) {
                throw Problem.badRequest(
                    "%s: '%s' is not a time such as 2026-03-14T02:11:07Z.".formatted(field, text));
              }
              if (instant.isBefore(EARLIEST) || instant.isAfter(LATEST)) {
                throw Problem.badRequest(
                    "%s: %s is not between %s and %s.".formatted(field, text, EARLIEST, LATEST));
              }
              return instant;
            });
  }

  static Optional<String> one(Map<String, List<String>> parameters, String field) {
    List<String> values = parameters.getOrDefault(field, List.of());
    if (values.size() > 1) {
      throw Problem.badRequest("%s: is given %d times.".formatted(field, values.size()));
    }
    return values.stream().findFirst();
  }
}
