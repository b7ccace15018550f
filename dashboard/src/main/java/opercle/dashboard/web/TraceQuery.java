// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import opercle.ingest.reading.Quantity;

/**
 * What part of which trace is asked for.
 *
 * <p>Parts longer than half a minute are made whole minutes that begin at whole multiples of their
 * length, and the span grows to hold them: the store has those at hand, and a trace that moves
 * along with the time keeps its shape.
 *
 * @param quantity what was measured
 * @param probe one probe only; empty: all
 * @param from first instant
 * @param to first instant after it
 * @param points into how many equal parts the span is gathered
 */
record TraceQuery(Quantity quantity, Optional<String> probe, Instant from, Instant to, int points) {

  private static final Duration USUAL_SPAN = Duration.ofHours(24);
  private static final long MINUTE_MS = 60_000;
  private static final long WHOLE_FROM_MS = 30_000;
  private static final int USUAL_POINTS = 600;
  private static final int MOST_POINTS = 2000;

  /**
   * Reads a query string's parameters.
   *
   * @throws Problem naming field, value and limit
   */
  static TraceQuery of(Map<String, List<String>> parameters, Instant now) {
    String quantityId = Span.one(parameters, "quantity").orElse(Quantity.OXYGEN.id());
    Quantity quantity =
        Quantity.of(quantityId)
            .orElseThrow(
                () -> Problem.misread("quantity: there is no '%s'.".formatted(quantityId)));
    Span span = Span.of(parameters, now, USUAL_SPAN);
    return gathered(
        quantity, Span.one(parameters, "probe"), span.from(), span.to(), points(parameters));
  }

  /** A question whose parts lie as the class says; there are about as many as asked for. */
  static TraceQuery gathered(
      Quantity quantity, Optional<String> probe, Instant from, Instant to, int points) {
    long length = Duration.between(from, to).toMillis();
    if (length <= WHOLE_FROM_MS * points) {
      return new TraceQuery(quantity, probe, from, to, points);
    }
    long minutes = -Math.floorDiv(-length, MINUTE_MS * points);
    long part = MINUTE_MS * minutes;
    long first = Math.floorDiv(from.toEpochMilli(), part);
    long end = -Math.floorDiv(-to.toEpochMilli(), part);
    return new TraceQuery(
        quantity,
        probe,
        Instant.ofEpochMilli(first * part),
        Instant.ofEpochMilli(end * part),
        Math.toIntExact(end - first));
  }

  /** How long one part is, s. */
  double partSeconds() {
    return Duration.between(from, to).toMillis() / 1000.0 / points;
  }

  private static int points(Map<String, List<String>> parameters) {
    String text = Span.one(parameters, "points").orElse(Integer.toString(USUAL_POINTS));
    int points;
    try {
      points = Integer.parseInt(text);
    } catch (NumberFormatException e) {
      points = 0;
    }
    if (points < 1 || points > MOST_POINTS) {
      throw Problem.misread(
          "points: must be a whole number 1–%d but was '%s'.".formatted(MOST_POINTS, text));
    }
    return points;
  }
}
