// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.JsonNode;
import io.javalin.config.RoutesConfig;
import io.javalin.http.Context;
import java.time.Duration;
import java.time.Instant;
import java.time.format.DateTimeParseException;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmId;
import opercle.analysis.alarm.AlarmVerdict;
import opercle.analysis.book.AlarmRecords;
import opercle.analysis.book.AlarmRecords.Place;
import opercle.analysis.book.RecordedEvent;
import opercle.analysis.figures.AlarmFigures;
import opercle.analysis.figures.Occurrence;
import opercle.analysis.figures.Week;

/**
 * The addresses about past alarms: their history, what people said of them, the figures of a week,
 * and what to do about each kind. For any thread.
 */
final class AlarmsApi {

  private static final Duration USUAL_SPAN = Duration.ofDays(7);
  private static final int USUAL_PAGE = 200;
  private static final int LARGEST_PAGE = 500;

  private final LiveFarm live;
  private final PastAlarms past;

  AlarmsApi(LiveFarm live, PastAlarms past) {
    this.live = live;
    this.past = past;
  }

  void routes(RoutesConfig routes) {
    routes.get("/api/v1/alarms", this::history);
    routes.get("/api/v1/alarms/guide", ctx -> Api.answer(ctx, AlarmsJson.guide()));
    routes.get("/api/v1/alarms/figures", this::figures);
    routes.get("/api/v1/tanks/{id}/alarms", this::ofTank);
    routes.get("/api/v1/tanks/{id}/events", this::eventsOfTank);
    routes.post("/api/v1/tanks/{id}/alarms/{cause}/verdict", this::verdict);
  }

  private AlarmRecords records() {
    return past.records().get().orElseThrow(Problem::noFarmBook);
  }

  private void history(Context ctx) {
    Map<String, List<String>> query = ctx.queryParamMap();
    Instant to = Span.instant(query, "to").orElseGet(() -> live.now().plusMillis(1));
    Instant from = Span.instant(query, "from").orElse(to.minus(USUAL_SPAN));
    if (!from.isBefore(to)) {
      throw Problem.misread("from: %s is not before to: %s.".formatted(from, to));
    }
    int most = most(query);
    AlarmRecords records = records();
    List<RecordedEvent> page = records.page(from, to, Span.one(query, "tank"), place(query), most);
    Instant oldest = page.stream().map(e -> e.event().since()).min(Instant::compareTo).orElse(from);
    Api.answer(
        ctx,
        AlarmsJson.history(
            from,
            to,
            page,
            page.size() == most,
            records.verdicts(oldest, to),
            records.gaps(from, to),
            records.takesVerdicts()));
  }

  /** What a trace is marked with; nothing where no book is kept, and the answer says so. */
  private void ofTank(Context ctx) {
    String tank = Api.tank(ctx, live).id();
    Span span = Span.of(ctx.queryParamMap(), live.now(), USUAL_SPAN);
    Optional<List<Occurrence>> occurrences =
        past.records()
            .get()
            .map(
                records ->
                    Occurrence.of(
                        records.touching(span.from(), span.to()).stream()
                            .filter(event -> event.tank().equals(tank))
                            .toList(),
                        List.of()));
    Api.answer(ctx, AlarmsJson.ofTank(tank, span, occurrences));
  }

  /** What people did at a tank; nothing where no book is kept, and the answer says so. */
  private void eventsOfTank(Context ctx) {
    String tank = Api.tank(ctx, live).id();
    Span span = Span.of(ctx.queryParamMap(), live.now(), USUAL_SPAN);
    Api.answer(
        ctx, AlarmsJson.events(tank, span, new TankDeeds(past, tank, span, live.now()).all()));
  }

  private static int most(Map<String, List<String>> query) {
    String text = Span.one(query, "most").orElse(Integer.toString(USUAL_PAGE));
    int most;
    try {
      most = Integer.parseInt(text);
    } catch (NumberFormatException e) {
      most = 0;
    }
    if (most < 1 || most > LARGEST_PAGE) {
      throw Problem.misread(
          "most: must be a whole number 1–%d but was '%s'.".formatted(LARGEST_PAGE, text));
    }
    return most;
  }

  private static Optional<Place> place(Map<String, List<String>> query) {
    return Span.one(query, "before")
        .map(
            text -> {
              int space = text.lastIndexOf('_');
              try {
                Instant time = Instant.parse(text.substring(0, Math.max(0, space)));
                if (Span.isThinkable(time)) {
                  return new Place(time, Long.parseLong(text.substring(space + 1)));
                }
              } catch (DateTimeParseException | NumberFormatException e) {
                // told below
              }
              throw Problem.misread(
                  "before: '%s' is not what 'next' of an earlier answer was.".formatted(text));
            });
  }

  private void figures(Context ctx) {
    Instant now = live.now();
    Week week =
        Span.one(ctx.queryParamMap(), "week")
            .map(
                text -> {
                  try {
                    return Week.of(text, past.zone());
                  } catch (IllegalArgumentException e) {
                    throw Problem.misread("week: %s.".formatted(e.getMessage()));
                  }
                })
            .orElseGet(() -> Week.of(now, past.zone()));
    AlarmRecords records = records();
    Instant to = week.end().isBefore(now) ? week.end() : now.plusMillis(1);
    List<Occurrence> occurrences =
        to.isAfter(week.start())
            ? Occurrence.of(records.touching(week.start(), to), records.verdicts(Instant.EPOCH, to))
            : List.of();
    AlarmFigures figures =
        AlarmFigures.of(
            week,
            now,
            occurrences,
            records.gaps(week.start(), week.end()),
            past.deliveries().between(week.start(), week.end()));
    Api.answer(ctx, AlarmsJson.figures(figures));
  }

  private void verdict(Context ctx) {
    String by = Api.name(ctx);
    JsonNode body = Json.read(ctx.bodyAsBytes());
    JsonNode wasTrue = body.path("wasTrue");
    if (!wasTrue.isBoolean()) {
      throw Problem.misread(
          "'wasTrue' must be true if there was something to do, and false if there was nothing.");
    }
    AlarmCause cause =
        AlarmCause.of(ctx.pathParam("cause"))
            .orElseThrow(() -> Problem.notFound("There is no such alarm."));
    AlarmRecords records = records();
    if (!records.takesVerdicts()) {
      throw Problem.readOnly();
    }
    AlarmId alarm = new AlarmId(ctx.pathParam("id"), cause);
    Instant since = since(body);
    if (!records.judge(new AlarmVerdict(alarm, since, wasTrue.booleanValue(), by, live.now()))) {
      throw Problem.notFound(
          "The farm book knows of no such alarm at that time. Load the page again.");
    }
    ctx.status(204);
  }

  private static Instant since(JsonNode body) {
    try {
      Instant since = Instant.parse(body.path("since").asText());
      if (Span.isThinkable(since)) {
        return since;
      }
    } catch (DateTimeParseException e) {
      // told below
    }
    throw Problem.misread(
        "'since' must be the time at which the alarm was raised, such as 2026-03-14T02:11:07.000Z.");
  }
}
