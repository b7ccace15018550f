// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import io.javalin.http.Context;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.ValidRange;
import opercle.analysis.book.TripRecords;
import opercle.analysis.plan.MeasuredRate;
import opercle.analysis.stock.OxygenDemand;
import opercle.analysis.stock.Species;
import opercle.analysis.trip.LearnedRate;
import opercle.analysis.trip.PastDemand;
import opercle.analysis.trip.Review;
import opercle.analysis.trip.Trip;
import opercle.analysis.trip.TripLog;

/**
 * Trips beside each other: the list with the figures to compare them by, and what they taught.
 * Errors are {@link Problem}s. For any thread.
 */
final class TripComparison {

  private static final int USUAL_LIST = 20;
  private static final int LONGEST_LIST = 100;

  private static final ValidRange TEMPERATURE = new ValidRange("", "temperatureC", 0.0, 35.0, "°C");
  private static final ValidRange MINUTES =
      new ValidRange("", "minutes", Trip.MINUTES.low(), Trip.MINUTES.high(), "min");
  private static final ValidRange EACH =
      new ValidRange("", "meanMassKg", OxygenDemand.LIGHTEST_KG, OxygenDemand.HEAVIEST_KG, "kg");

  private final TripDesk desk;

  TripComparison(TripDesk desk) {
    this.desk = desk;
  }

  /** The trips with the figures to compare them by. */
  void list(Context ctx) {
    Map<String, List<String>> query = ctx.queryParamMap();
    Instant before = Span.instant(query, "before").orElse(desk.now().plusSeconds(60));
    int most = most(query);
    OptionalDouble minutes =
        query.containsKey(MINUTES.quantity())
            ? OptionalDouble.of(number(query, MINUTES))
            : OptionalDouble.empty();
    TripRecords records = desk.records();
    List<TripLog> logs =
        Span.one(query, "after") // goes before the time: several may be loaded at the same one
            .map(id -> records.earlierThan(desk.trip(id), most + 1))
            .orElseGet(() -> records.newest(before, most + 1));
    List<Review> reviews =
        logs.subList(0, Math.min(most, logs.size())).stream().map(desk::review).toList();
    Api.answer(
        ctx,
        TripsJson.list(
            reviews, logs.size() > most, records.takesEntries(), desk.papers().toGo(minutes)));
  }

  private static int most(Map<String, List<String>> query) {
    String text = Span.one(query, "most").orElse(Integer.toString(USUAL_LIST));
    int most;
    try {
      most = Integer.parseInt(text);
    } catch (NumberFormatException e) {
      most = 0;
    }
    if (most < 1 || most > LONGEST_LIST) {
      throw Problem.misread(
          "most: must be a whole number 1–%d but was '%s'.".formatted(LONGEST_LIST, text));
    }
    return most;
  }

  /** What past trips taught. */
  void rates(Context ctx) {
    Map<String, List<String>> query = ctx.queryParamMap();
    List<PastDemand> past = desk.demands();
    Optional<MeasuredRate> rate = Optional.empty();
    Optional<String> id = Span.one(query, "species");
    if (id.isPresent()) {
      Species species =
          Species.of(id.get())
              .orElseThrow(() -> Problem.misread("species: there is no '%s'.".formatted(id.get())));
      double celsius = number(query, TEMPERATURE);
      double each =
          query.containsKey(EACH.quantity()) ? number(query, EACH) : species.usualMassKg();
      rate = LearnedRate.of(past, species, each, celsius);
    }
    Api.answer(ctx, TripsJson.rates(past, rate));
  }

  private static double number(Map<String, List<String>> query, ValidRange range) {
    String text = Span.one(query, range.quantity()).orElse("");
    double value;
    try {
      value = Double.parseDouble(text);
    } catch (NumberFormatException e) {
      value = Double.NaN;
    }
    if (!(value >= range.low() && value <= range.high())) {
      String limit = "must be %s–%s %s".formatted(range.low(), range.high(), range.unit());
      throw Problem.wrongField(
          "%s: %s.".formatted(FieldNames.of(range.quantity()), limit),
          "/" + range.quantity(),
          "%s: %s but was '%s'.".formatted(range.quantity(), limit, text));
    }
    return value;
  }
}
