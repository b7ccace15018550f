// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.JsonNode;
import io.javalin.config.RoutesConfig;
import io.javalin.http.Context;
import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.time.LocalDate;
import java.time.Year;
import java.time.ZoneId;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Consumer;
import java.util.function.Supplier;
import opercle.analysis.book.RecordBook;
import opercle.analysis.records.Entry;
import opercle.analysis.records.GivenRegister;
import opercle.analysis.records.Movement;
import opercle.analysis.records.MovementCheck;
import opercle.analysis.records.Records;
import opercle.analysis.records.Register;
import opercle.analysis.records.Trace;
import opercle.analysis.records.Tracing;
import opercle.analysis.records.Water;

/**
 * The page and the addresses of the records: what is kept, making an entry, what a movement's
 * papers lack, a trace, and the register of a year. Errors are {@link Problem}s. For any thread.
 */
public final class RecordsApi implements Consumer<RoutesConfig> {

  private static final int FIRST_YEAR = 1970;
  private static final int LAST_YEAR = 9998;

  private final Supplier<Optional<RecordBook>> book;
  private final ZoneId zone;
  private final Supplier<Instant> now;
  private final String farm;

  /**
   * The addresses.
   *
   * @param book the records; empty while there is no farm book
   * @param zone where the farm is, for its days and years
   * @param now the farm's time
   * @param farm its name, for what is printed
   */
  public RecordsApi(
      Supplier<Optional<RecordBook>> book, ZoneId zone, Supplier<Instant> now, String farm) {
    this.book = book;
    this.zone = zone;
    this.now = now;
    this.farm = farm;
  }

  @Override
  public void accept(RoutesConfig routes) {
    String page =
        new PageFrame().live("records", "Records", PageFrame.At.behind("/trips"), "records");
    routes.get("/records", ctx -> ctx.header("Cache-Control", "no-cache").html(page));
    String register = new PageFrame().plain("register", "Register", "register");
    routes.get("/records/register", ctx -> registerPage(ctx, register));
    routes.get("/api/v1/records", this::all);
    routes.get("/api/v1/records/movements", this::movements);
    routes.get("/api/v1/records/trace", this::trace);
    routes.get("/api/v1/records/register.csv", this::register);
    routes.get("/api/v1/records/given.csv", this::given);
    routes.post("/api/v1/records/check", this::check);
    routes.post("/api/v1/records/entries", this::keep);
  }

  private RecordBook records() {
    return book.get().orElseThrow(Problem::noFarmBook);
  }

  private void all(Context ctx) {
    RecordBook kept = records();
    Api.answer(
        ctx,
        RecordsJson.all(kept.records(), LocalDate.ofInstant(now.get(), zone), kept.isWritable()));
  }

  private void movements(Context ctx) {
    Records records = records().records();
    Year year = year(ctx);
    Api.answer(
        ctx,
        RecordsJson.movements(
            records,
            year,
            zone,
            records.withWithdrawn(Movement.class).stream()
                .filter(s -> s.entry().departs().atZone(zone).getYear() == year.getValue())
                .toList(),
            Tracing.of(records).overdrawn()));
  }

  private Year year(Context ctx) {
    return Span.one(ctx.queryParamMap(), "year")
        .map(
            text -> {
              if (!text.matches("\\d{4}")
                  || Integer.parseInt(text) < FIRST_YEAR
                  || Integer.parseInt(text) > LAST_YEAR) {
                throw Problem.wrongField(
                    "Year: must be one of %d–%d.".formatted(FIRST_YEAR, LAST_YEAR),
                    "/year",
                    "year: must be a year %d–%d but was '%s'."
                        .formatted(FIRST_YEAR, LAST_YEAR, text));
              }
              return Year.of(Integer.parseInt(text));
            })
        .orElseGet(() -> Year.from(now.get().atZone(zone)));
  }

  private void register(Context ctx) {
    Year year = year(ctx);
    csv(ctx, "movements", year, Register.csv(Register.rows(records().records(), year, zone)));
  }

  private void given(Context ctx) {
    Year year = year(ctx);
    csv(
        ctx,
        "medicines-and-salt",
        year,
        GivenRegister.csv(GivenRegister.rows(records().records(), year, zone)));
  }

  private static void csv(Context ctx, String name, Year year, String csv) {
    ctx.contentType("text/csv; charset=utf-8; header=present")
        .header("Cache-Control", "no-store")
        .header("Content-Disposition", "attachment; filename=\"%s-%s.csv\"".formatted(name, year))
        .result(csv.getBytes(StandardCharsets.UTF_8));
  }

  private void registerPage(Context ctx, String frame) {
    ctx.header("Cache-Control", "no-store")
        .html(
            RegisterPage.of(
                frame,
                farm,
                records().records(),
                year(ctx),
                LocalDate.ofInstant(now.get(), zone),
                zone));
  }

  private void check(Context ctx) {
    JsonNode body = EntryPosts.body(ctx);
    if (!(EntryPosts.entry(Entry.Kind.MOVEMENT, EntryPosts.fields(body), zone)
        instanceof Movement movement)) {
      throw new IllegalStateException("what is read as a movement is one");
    }
    Records records = records().records();
    Api.answer(ctx, RecordsJson.prompts(MovementCheck.of(records, movement, zone)));
  }

  private void keep(Context ctx) {
    JsonNode body = EntryPosts.body(ctx);
    String by = Api.name(ctx, body);
    Entry.Kind kind =
        Entry.Kind.of(body.path("kind").asText())
            .orElseThrow(
                () ->
                    Problem.misread(
                        "'kind' must be water, party, permit, health-check, health-rule, retention-rule or movement."));
    RecordBook kept = records();
    if (kind.isOfTank()) {
      throw Problem.misread("'kind': what was done at a tank is entered at the tank.");
    }
    EntryPosts.keep(
        ctx, kept, now.get(), by, body, EntryPosts.entry(kind, EntryPosts.fields(body), zone));
  }

  private void trace(Context ctx) {
    Map<String, List<String>> query = ctx.queryParamMap();
    Records records = records().records();
    Tracing tracing = Tracing.of(records);
    Optional<String> movement = Span.one(query, "movement");
    Optional<String> water = Span.one(query, "water");
    Optional<Trace> trace;
    if (movement.isPresent()) {
      trace =
          isBackwards(query) ? tracing.backwards(movement.get()) : tracing.forwards(movement.get());
      if (trace.isEmpty()) {
        throw Problem.notFound(
            "This movement does not stand any more. Load the page again to see what does.");
      }
    } else if (water.isPresent()) {
      if (records.find(Water.class, water.get()).isEmpty()) {
        throw Problem.notFound(
            "This water is not in the records any more. Load the page again to see which are.");
      }
      Instant at = Span.instant(query, "at").orElseGet(now);
      Optional<String> species = Span.one(query, "species").filter(words -> !words.isBlank());
      trace =
          Optional.of(
              isBackwards(query)
                  ? tracing.backwards(water.get(), species, at)
                  : tracing.forwards(water.get(), species, at));
    } else {
      trace = Optional.empty();
    }
    Api.answer(ctx, RecordsJson.trace(records, trace, tracing.overdrawn()));
  }

  private static boolean isBackwards(Map<String, List<String>> query) {
    String way = Span.one(query, "way").orElse("backwards");
    if (!way.equals("backwards") && !way.equals("forwards")) {
      throw Problem.misread("way: must be backwards or forwards but was '%s'.".formatted(way));
    }
    return way.equals("backwards");
  }
}
