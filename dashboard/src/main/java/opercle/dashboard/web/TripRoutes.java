// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import io.javalin.config.RoutesConfig;
import io.javalin.http.Context;
import java.io.IOException;
import java.io.InputStream;
import java.util.Optional;
import java.util.concurrent.Semaphore;
import java.util.function.Consumer;
import java.util.function.Supplier;
import opercle.analysis.alarm.RefusedActException;
import opercle.analysis.book.FarmRecords;
import opercle.analysis.book.PhotoRecords;
import opercle.analysis.book.RecordBook;
import opercle.analysis.book.TripRecords;
import opercle.analysis.plan.LoadPlanRequest;
import opercle.analysis.setup.TripDoor;
import opercle.analysis.trip.RefusedEntryException;
import opercle.analysis.trip.Review;
import opercle.analysis.trip.TripEntry;
import opercle.analysis.trip.TripEntry.Loaded;
import opercle.analysis.trip.TripLog;
import opercle.analysis.tripfile.EntryForm;
import opercle.analysis.tripfile.StartForm;
import opercle.analysis.tripfile.TripFile;
import opercle.analysis.tripfile.UnusableTripException;

/**
 * The addresses and pages of trips. What is written carries an id and a time that the client gives,
 * so that the same form sent twice is one entry. Errors are {@link Problem}s. For any thread.
 */
public final class TripRoutes implements Consumer<RoutesConfig> {

  private static final int FEW = 3;

  /** Half a day at six readings a second with 60 large pictures makes 40 MB. */
  private static final int LARGEST_FILE = 64 * 1024 * 1024;

  private final TripDesk desk;
  private final LiveFarm live;
  private final TripPages pages;
  private final TripComparison compared;
  private final TripCopies copies;
  private final TripStart starts;
  private final Supplier<Optional<PhotoRecords>> photos;
  private final PhotoApi pictures;
  private final Optional<TripDoor> door;

  /** A review of days reads much; the watch must not be left without a processor. */
  private final Semaphore atOnce = new Semaphore(2);

  /** The addresses where nothing is written down at the tanks. */
  public TripRoutes(
      LiveFarm live, Traces traces, PastAlarms past, Supplier<Optional<TripRecords>> trips) {
    this(live, traces, past, trips, Optional::empty, Optional::empty, Optional::empty);
  }

  /** The addresses where an unloading leaves the farm's tanks and movements as they are. */
  public TripRoutes(
      LiveFarm live,
      Traces traces,
      PastAlarms past,
      Supplier<Optional<TripRecords>> trips,
      Supplier<Optional<RecordBook>> work,
      Supplier<Optional<PhotoRecords>> photos,
      Supplier<Optional<FarmRecords>> versions) {
    this(live, traces, past, trips, work, photos, versions, Optional.empty());
  }

  /**
   * The addresses.
   *
   * @param live the farm
   * @param traces its readings
   * @param past its alarms and events
   * @param trips its trips; empty while there is no farm book
   * @param work what was written down at its tanks
   * @param photos pictures that go with checks
   * @param versions how the farm stood when; empty: as today
   * @param door writes entries with what follows from them; empty: with nothing
   */
  public TripRoutes(
      LiveFarm live,
      Traces traces,
      PastAlarms past,
      Supplier<Optional<TripRecords>> trips,
      Supplier<Optional<RecordBook>> work,
      Supplier<Optional<PhotoRecords>> photos,
      Supplier<Optional<FarmRecords>> versions,
      Optional<TripDoor> door) {
    this.photos = photos;
    this.door = door;
    this.starts = new TripStart(live, past.zone(), work, versions);
    this.pictures = new PhotoApi(live, photos, trips, work);
    this.live = live;
    this.desk = new TripDesk(live, traces, past, trips, work);
    this.pages = new TripPages(desk);
    this.compared = new TripComparison(desk);
    this.copies = new TripCopies(desk, photos);
  }

  @Override
  public void accept(RoutesConfig routes) {
    routes.get("/api/v1/trips", ctx -> slowly(() -> compared.list(ctx)));
    // Held before anything is written: what is told as not done must not have been.
    routes.post("/api/v1/trips", ctx -> slowly(() -> begin(ctx)));
    routes.post("/api/v1/trips/import", this::take);
    routes.get("/api/v1/trips/rates", compared::rates);
    routes.get("/api/v1/trips/{id}", ctx -> slowly(() -> one(ctx, log(ctx))));
    routes.post("/api/v1/trips/{id}/checks", ctx -> slowly(() -> write(ctx, "check", false)));
    routes.post("/api/v1/trips/{id}/unloading", ctx -> slowly(() -> write(ctx, "unloaded", false)));
    routes.post(
        "/api/v1/trips/{id}/withdrawal", ctx -> slowly(() -> write(ctx, "withdrawn", false)));
    routes.post("/api/v1/trips/{id}/corrections", ctx -> slowly(() -> write(ctx, "", true)));
    routes.post("/api/v1/trips/{id}/tank-load", ctx -> slowly(() -> settle(ctx)));
    routes.get("/api/v1/trips/{id}/picture.svg", ctx -> slowly(() -> copies.picture(ctx)));
    routes.get("/api/v1/trips/{id}/report.pdf", ctx -> slowly(() -> copies.pdf(ctx)));
    routes.get("/api/v1/trips/{id}/trip.json", ctx -> slowly(() -> copies.file(ctx)));
    routes.get("/api/v1/trips/{id}/readings.csv", ctx -> slowly(() -> copies.csv(ctx)));
    pictures.routes(routes);
    pages.routes(routes);
  }

  /**
   * Lays down some of the trips that have ended: what they taught, and what was measured on them.
   * To be called again and again; does nothing where people are looking at trips, nor in a process
   * that only reads the book.
   *
   * @throws opercle.analysis.book.BookException if the book cannot be used; trying again is safe
   */
  public void layDown() {
    if (atOnce.tryAcquire()) {
      try {
        desk.layDown(FEW);
      } finally {
        atOnce.release();
      }
    }
  }

  private interface Slow {
    void run() throws IOException;
  }

  private void slowly(Slow work) throws IOException {
    if (!atOnce.tryAcquire()) {
      throw Problem.busy("Other trips are being looked at. Ask again in a second.");
    }
    try {
      work.run();
    } finally {
      atOnce.release();
    }
  }

  private TripLog log(Context ctx) {
    return desk.trip(ctx.pathParam("id"));
  }

  private void one(Context ctx, TripLog log) {
    Review review = desk.review(log);
    Api.answer(
        ctx,
        TripsJson.whole(
            review,
            desk.report(review),
            desk.records().takesEntries(),
            PhotoApi.among(photos, log.entries().stream().map(TripEntry::id).toList()),
            door.flatMap(d -> d.offer(log))));
  }

  private void begin(Context ctx) throws IOException {
    JsonNode body = Api.signed(ctx, Api.body(ctx));
    TripRecords records = desk.writable();
    Optional<LoadPlanRequest> plan = plan(body);
    StartForm start = fields(() -> StartForm.read(body, live.farm(), starts::over));
    Optional<TripLog> there = records.trip(start.loaded().trip().id());
    TripLog log;
    if (there.isPresent()) { // the plan may come out another way by now: it is not worked out again
      requireSame(there.get(), start.loaded());
      log = there.get();
    } else {
      desk.requirePast(start.loaded().time());
      desk.papers().requireKnown(start.loaded().trip());
      log = refused(() -> records.begin(starts.loaded(start, plan, records::demands)));
      ctx.status(201);
    }
    one(ctx, log);
  }

  /** The plan that it starts from, taken out of what was sent. */
  private static Optional<LoadPlanRequest> plan(JsonNode body) {
    return body instanceof ObjectNode object && object.has("plan")
        ? Optional.of(PlanQuery.read(object.remove("plan")))
        : Optional.empty();
  }

  private static void requireSame(TripLog there, Loaded asked) {
    Loaded first = (Loaded) there.entries().get(0);
    boolean same =
        first.time().equals(asked.time())
            && first.by().equals(asked.by())
            && first.trip().tank().id().equals(asked.trip().tank().id())
            && first.trip().load().equals(asked.trip().load());
    if (!same) {
      throw Problem.conflict(
          "Another trip was begun by the same form already. Load the page again to see it.");
    }
  }

  private void write(Context ctx, String kind, boolean isCorrection) throws IOException {
    JsonNode body = Api.signed(ctx, Api.body(ctx));
    TripRecords records = desk.writable();
    String trip = ctx.pathParam("id");
    if (body instanceof ObjectNode object && !isCorrection) {
      object.put("kind", kind);
      object.remove("corrects");
    }
    TripEntry entry = fields(() -> EntryForm.read(body));
    desk.requirePast(entry.time());
    if (isCorrection && entry.corrects().isEmpty()) {
      throw Problem.misread("'corrects' must be the id of the entry that is put right.");
    }
    if (entry instanceof TripEntry.Loaded right && isOfAnotherRecord(right, records.trip(trip))) {
      desk.papers().requireKnown(right.trip());
    }
    TripLog log =
        refused(() -> door.isPresent() ? door.get().add(trip, entry) : records.add(trip, entry))
            .orElseThrow(() -> TripDesk.noTrip());
    one(ctx, log);
  }

  private static boolean isOfAnotherRecord(TripEntry.Loaded right, Optional<TripLog> log) {
    return log.isPresent() && !right.trip().movements().equals(log.get().trip().movements());
  }

  /** Puts the record of the trip's tank as it was offered, or leaves it. */
  private void settle(Context ctx) throws IOException {
    JsonNode body = Api.body(ctx);
    String by = Api.name(ctx, body);
    var unused = desk.writable();
    TripLog log = log(ctx);
    boolean isTaken =
        switch (body.path("do").asText("")) {
          case "put" -> true;
          case "leave" -> false;
          default -> throw Problem.misread("'do' must be put or leave.");
        };
    if (!body.path("entry").isTextual() || !body.path("basedOn").isIntegralNumber()) {
      throw Problem.misread("'entry' and 'basedOn' must be as they were offered.");
    }
    TripDoor writes = door.orElseThrow(Problem::readOnly);
    try {
      refused(
          () -> {
            writes.settle(
                log, body.path("entry").asText(), isTaken, body.path("basedOn").longValue(), by);
            return log;
          });
    } catch (RefusedActException e) {
      throw Problem.conflict(String.valueOf(e.getMessage()));
    }
    one(ctx, log);
  }

  private void take(Context ctx) throws IOException {
    TripRecords records = desk.writable();
    if (!atOnce.tryAcquire()) {
      throw Problem.busy("Other trips are being looked at. Ask again in a second.");
    }
    try (InputStream in = limited(ctx)) {
      TripFile file = fields(() -> TripFile.read("The file", in));
      if (!Span.one(ctx.queryParamMap(), "otherFarm").orElse("").equals("true")) {
        desk.requireOwn(file);
      }
      TripFile drawn = pictures.newOnes(file.takenInBy(live.farm().name()));
      TripRecords.Taken taken =
          refused(() -> door.isPresent() ? door.get().take(drawn) : records.take(drawn));
      desk.forget(file.log().trip().id());
      ObjectNode node = JsonNodeFactory.instance.objectNode();
      node.put("trip", file.log().trip().id());
      node.put("entries", taken.entries());
      node.put("readings", taken.readings());
      node.put("alarms", taken.alarms());
      node.put("events", taken.events());
      node.put("photos", taken.photos());
      if (!taken.problems().isEmpty()) {
        taken.problems().forEach(node.putArray("problems")::add);
      }
      records
          .trip(file.log().trip().id())
          .flatMap(log -> door.flatMap(d -> d.offer(log)))
          .ifPresent(offer -> node.set("tankLoad", TripsJson.offer(offer)));
      Api.answer(ctx, node);
    } finally {
      atOnce.release();
    }
  }

  private static InputStream limited(Context ctx) throws IOException {
    String type = ctx.contentType();
    if (type == null || !type.startsWith("application/json")) {
      throw Problem.wrongType("Content-Type must be application/json.");
    }
    if (ctx.req().getContentLengthLong() > LARGEST_FILE) {
      throw Problem.tooLarge("The file must not be over %d MB.".formatted(LARGEST_FILE >> 20));
    }
    return new BoundedStream(
        ctx.req().getInputStream(),
        LARGEST_FILE,
        () -> Problem.tooLarge("The file must not be over %d MB.".formatted(LARGEST_FILE >> 20)));
  }

  private interface Input<T> {
    T read() throws IOException;
  }

  /** What cannot be used is told field by field. */
  private static <T> T fields(Input<T> reading) throws IOException {
    try {
      return reading.read();
    } catch (UnusableTripException e) {
      if (e.faults().isEmpty()) {
        throw Problem.badRequest(String.valueOf(e.getMessage()));
      }
      throw Problem.badFields(
          e.faults().stream()
              .map(f -> new Problem.Field(f.pointer(), f.value(), f.limit(), f.unit()))
              .toList());
    }
  }

  private <T> T refused(Supplier<T> writing) {
    try {
      return writing.get();
    } catch (RefusedEntryException e) {
      throw Problem.conflict(e.sentence(desk.zone()));
    }
  }
}
