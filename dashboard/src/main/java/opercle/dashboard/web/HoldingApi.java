// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import io.javalin.config.RoutesConfig;
import io.javalin.http.Context;
import java.math.BigDecimal;
import java.math.MathContext;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.Consumer;
import java.util.function.Supplier;
import opercle.analysis.alarm.RefusedActException;
import opercle.analysis.book.PhotoRecords;
import opercle.analysis.book.RecordBook;
import opercle.analysis.book.RecordBook.Outcome;
import opercle.analysis.farm.Tank;
import opercle.analysis.holding.HoldingEstimate;
import opercle.analysis.holding.HoldingEstimate.Seen;
import opercle.analysis.holding.HoldingNow;
import opercle.analysis.holding.SaltDose;
import opercle.analysis.holding.TankWork;
import opercle.analysis.holding.TopUp;
import opercle.analysis.holding.WaterExchange;
import opercle.analysis.publish.TankAct;
import opercle.analysis.records.Entry;
import opercle.analysis.records.Records;
import opercle.analysis.records.Standing;
import opercle.analysis.records.TankEntry;
import opercle.analysis.records.TankEntry.TopUp.Lost;
import opercle.analysis.records.Withdrawals;
import opercle.analysis.records.WrongFieldException;
import opercle.analysis.watch.TankEvent;
import opercle.analysis.watch.TankState;
import opercle.analysis.water.AirPressure;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * The page and the addresses of holding: what has built up in each holding tank, what was done and
 * measured there, how much salt for a strength, how much water to change. Errors are {@link
 * Problem}s. For any thread; may wait for a disk.
 */
public final class HoldingApi implements Consumer<RoutesConfig> {

  private static final Logger LOG = LoggerFactory.getLogger(HoldingApi.class);

  private static final Duration MEALS_LOOKED_BACK = Duration.ofDays(3);
  private static final Duration WORK_SHOWN = Duration.ofDays(60);
  private static final Duration PROBE_COUNTS = Duration.ofHours(1);

  /** What is told to the watch must be the same meal as what is kept. */
  private static final Duration JUST_NOW = TankWork.SAME_MEAL;

  private static final double USUAL_SALT_G_PER_L = 2.0;

  /** Of a tank that is topped up without more words; the pages always say how much. */
  private static final double USUAL_SHARE = 0.05;

  private final LiveFarm live;
  private final Supplier<Optional<RecordBook>> book;
  private final PastAlarms past;
  private final Traces traces;
  private final ZoneId zone;
  private final Supplier<Optional<PhotoRecords>> photos;

  /**
   * The addresses.
   *
   * @param book the records; empty while there is no farm book
   * @param zone where the farm is, for its days
   */
  public HoldingApi(
      LiveFarm live,
      Supplier<Optional<RecordBook>> book,
      PastAlarms past,
      Traces traces,
      ZoneId zone) {
    this(live, book, past, traces, zone, Optional::empty);
  }

  /**
   * The addresses.
   *
   * @param photos pictures that go with what is written down
   */
  public HoldingApi(
      LiveFarm live,
      Supplier<Optional<RecordBook>> book,
      PastAlarms past,
      Traces traces,
      ZoneId zone,
      Supplier<Optional<PhotoRecords>> photos) {
    this.photos = photos;
    this.live = live;
    this.book = book;
    this.past = past;
    this.traces = traces;
    this.zone = zone;
  }

  @Override
  public void accept(RoutesConfig routes) {
    String page = new PageFrame().live("holding", "Holding", PageFrame.At.behind("/"), "records");
    routes.get("/holding", ctx -> ctx.header("Cache-Control", "no-cache").html(page));
    routes.get("/api/v1/holding", this::all);
    routes.get("/api/v1/tanks/{id}/holding", this::one);
    routes.get("/api/v1/tanks/{id}/salt", this::salt);
    routes.get("/api/v1/tanks/{id}/water-change", this::waterChange);
    routes.get("/api/v1/tanks/{id}/top-up", this::topUp);
    routes.post("/api/v1/tanks/{id}/work", this::keep);
  }

  private Records records() {
    return book.get().map(RecordBook::records).orElseGet(() -> Records.of(List.of()));
  }

  private boolean isWritable() {
    return book.get().map(RecordBook::isWritable).orElse(false);
  }

  private LocalDate today() {
    return LocalDate.ofInstant(live.now(), zone);
  }

  private void all(Context ctx) {
    ObjectNode node = JsonNodeFactory.instance.objectNode();
    node.put("type", "holding");
    node.put("writable", isWritable());
    ArrayNode tanks = node.putArray("tanks");
    Records records = records();
    live.farm().tanks().stream()
        .filter(t -> t.kind() == Tank.Kind.HOLDING)
        .forEach(t -> tanks.add(part(t, records)));
    ArrayNode others = node.putArray("others");
    live.farm().tanks().stream()
        .filter(t -> t.kind() != Tank.Kind.HOLDING)
        .forEach(t -> others.add(other(t, records)));
    Api.answer(ctx, node);
  }

  /**
   * A tank in which nothing builds up over days; what was given to its fish counts all the same.
   */
  private ObjectNode other(Tank tank, Records records) {
    return HoldingJson.part(
        tank, Optional.empty(), Withdrawals.running(records, tank.id(), today()));
  }

  private ObjectNode part(Tank tank, Records records) {
    return HoldingJson.part(
        tank, estimate(tank, records), Withdrawals.running(records, tank.id(), today()));
  }

  private void one(Context ctx) {
    Tank tank = Api.tank(ctx, live);
    Records records = records();
    ObjectNode node = part(tank, records);
    node.put("writable", isWritable());
    ArrayNode work = node.putArray("work");
    Instant from = live.now().minus(WORK_SHOWN);
    records.withWithdrawn(TankEntry.class).stream()
        .filter(s -> s.entry().where().tank().equals(tank.id()))
        .filter(s -> s.entry().where().time().isAfter(from))
        .sorted(
            Comparator.comparing((Standing<TankEntry> s) -> s.entry().where().time()).reversed())
        .forEach(s -> work.add(RecordsJson.standing(s)));
    List<String> ids = new ArrayList<>();
    work.forEach(entry -> ids.add(entry.path("id").asText()));
    ArrayNode pictures = node.putArray("photos");
    PhotoApi.among(photos, ids).forEach(pictures::add);
    Api.answer(ctx, node);
  }

  private Optional<HoldingNow> estimate(Tank tank, Records records) {
    Instant now = live.now();
    TankWork work = TankWork.of(records, tank.id()).withMeals(meals(tank, now), tank.id());
    return HoldingEstimate.of(tank, work, seen(tank, now), now);
  }

  private List<Instant> meals(Tank tank, Instant now) {
    return past.events().get().stream()
        .flatMap(
            e -> e.between(tank.id(), now.minus(MEALS_LOOKED_BACK), now.plusSeconds(1)).stream())
        .filter(e -> e.kind() == TankEvent.Kind.FED)
        .map(TankEvent::time)
        .toList();
  }

  private Seen seen(Tank tank, Instant now) {
    Optional<TankState> state =
        live.states().stream().filter(s -> s.tank().equals(tank.id())).findFirst();
    return new Seen(
        state.map(TankState::temperatureC).orElse(OptionalDouble.empty()),
        probe(tank, Quantity.PH, now),
        probe(tank, Quantity.SALINITY, now),
        state.map(TankState::gasFlowLPerMin).orElse(OptionalDouble.empty()));
  }

  private OptionalDouble probe(Tank tank, Quantity quantity, Instant now) {
    return traces.series(tank.id()).stream()
        .filter(s -> s.quantity() == quantity)
        .map(s -> newest(s, now))
        .flatMap(Optional::stream)
        .max(Comparator.comparing(Reading::time))
        .map(r -> OptionalDouble.of(r.value()))
        .orElse(OptionalDouble.empty());
  }

  private Optional<Reading> newest(Series series, Instant now) {
    List<Reading> readings = traces.readings(series, now.minus(PROBE_COUNTS), now.plusSeconds(1));
    return readings.isEmpty() ? Optional.empty() : Optional.of(readings.get(readings.size() - 1));
  }

  private void salt(Context ctx) {
    Tank tank = Api.tank(ctx, live);
    Optional<HoldingNow> now = estimate(tank, records());
    Map<String, List<String>> query = ctx.queryParamMap();
    double target =
        number(query, "targetGPerL", "Wanted", 0.0, 35.0, "g/L").orElse(USUAL_SALT_G_PER_L);
    double litres = number(query, "litres", "Water", 1.0, 1.0e7, "L").orElse(tank.waterLitres());
    double is =
        number(query, "nowGPerL", "Salt now", 0.0, 35.0, "g/L").orElseGet(() -> salt(now, tank));
    double celsius =
        number(query, "temperatureC", "Water", 0.0, 38.0, "°C")
            .orElse(now.map(HoldingNow::temperatureC).orElse(10.0));
    Api.answer(
        ctx,
        HoldingJson.dose(
            SaltDose.of(
                litres,
                Math.min(35.0, is),
                target,
                celsius,
                AirPressure.atAltitudeKPa(live.farm().altitudeM())),
            litres,
            is,
            target));
  }

  private void waterChange(Context ctx) {
    Tank tank = Api.tank(ctx, live);
    Optional<HoldingNow> now = estimate(tank, records());
    Map<String, List<String>> query = ctx.queryParamMap();
    String of = Span.one(query, "of").orElse("ammonia");
    Optional<HoldingNow.Value> value =
        switch (of) {
          case "ammonia" -> now.flatMap(HoldingNow::tan);
          case "carbon-dioxide" -> now.flatMap(HoldingNow::carbonDioxide);
          case "salt" -> now.map(HoldingNow::saltGPerKg);
          default ->
              throw Problem.misread(
                  "of: must be ammonia, carbon-dioxide or salt but was '%s'.".formatted(of));
        };
    OptionalDouble is = number(query, "now", "Measured now", 0.0, 1000.0, "");
    if (is.isEmpty() && value.isEmpty() && !of.equals("salt")) {
      throw Problem.conflict(
          "How much there is now is not known, so no change can be worked out. Test the water first.");
    }
    double salt = salt(now, tank);
    double fresh =
        number(query, "fresh", "What the fresh water holds", 0.0, 1000.0, "").orElse(0.0);
    double from = is.orElse(value.map(v -> v.band().likely()).orElse(salt));
    double target = number(query, "target", "To", 0.0, 1000.0, "").orElse(from / 2.0);
    OptionalDouble litres = WaterExchange.litresToReach(from, target, fresh, tank.waterLitres());
    Api.answer(ctx, HoldingJson.change(of, from, target, litres, tank.waterLitres(), salt));
  }

  private void topUp(Context ctx) {
    Tank tank = Api.tank(ctx, live);
    Map<String, List<String>> query = ctx.queryParamMap();
    double full = tank.waterLitres();
    double most = TopUp.MOST_SHARE * full;
    OptionalDouble cm = number(query, "cm", "Gone down by", 0.1, 50.0 * tank.depthM(), "cm");
    double litres =
        number(query, "litres", "Missing", 0.1, most, "L")
            .orElse(
                cm.orElse(USUAL_SHARE * 100.0 * tank.depthM()) / (100.0 * tank.depthM()) * full);
    String word = Span.one(query, "lost").orElse(Lost.EVAPORATED.id());
    Lost lost =
        Lost.of(word)
            .orElseThrow(
                () ->
                    Problem.misread(
                        "lost: must be evaporated or ran-out but was '%s'.".formatted(word)));
    HoldingNow.Value salt = saltNow(estimate(tank, records()), tank);
    Api.answer(
        ctx,
        HoldingJson.topUp(
            TopUp.of(
                full,
                litres,
                lost,
                Math.min(35.0, salt.band().likely()),
                salt.basis() == HoldingNow.Basis.MEASURED,
                number(query, "targetGPerL", "Salt wanted", 0.0, 35.0, "g/L")),
            lost));
  }

  /** Salt, g/kg; reckoned from what was written down also where no fish are in yet. */
  private double salt(Optional<HoldingNow> now, Tank tank) {
    return saltNow(now, tank).band().likely();
  }

  private HoldingNow.Value saltNow(Optional<HoldingNow> now, Tank tank) {
    return now.map(HoldingNow::saltGPerKg)
        .orElseGet(
            () ->
                HoldingEstimate.saltGPerKg(
                    tank, TankWork.of(records(), tank.id()), seen(tank, live.now()), live.now()));
  }

  private static OptionalDouble number(
      Map<String, List<String>> query,
      String name,
      String words,
      double least,
      double most,
      String unit) {
    Optional<String> text = Span.one(query, name);
    if (text.isEmpty()) {
      return OptionalDouble.empty();
    }
    double value;
    try {
      value = Double.parseDouble(text.get());
    } catch (NumberFormatException e) {
      value = Double.NaN;
    }
    if (!(value >= least && value <= most)) {
      String limit = "must be %s–%s %s".formatted(figure(least), figure(most), unit).strip();
      throw Problem.wrongField(
          "%s: %s.".formatted(words, limit),
          "/" + name,
          "%s: %s but was '%s'.".formatted(name, limit, text.get()));
    }
    return OptionalDouble.of(value);
  }

  private static String figure(double value) {
    return new BigDecimal(value).round(new MathContext(3)).stripTrailingZeros().toPlainString();
  }

  private void keep(Context ctx) {
    Tank tank = Api.tank(ctx, live);
    JsonNode body = EntryPosts.body(ctx);
    String by = Api.name(ctx, body);
    Entry.Kind kind =
        Entry.Kind.of(body.path("kind").asText())
            .filter(Entry.Kind::isOfTank)
            .orElseThrow(
                () ->
                    Problem.misread(
                        "'kind' must be hand-check, feed, water-change, salt, top-up, water-test,"
                            + " treatment, moved or cleaning."));
    RecordBook kept = book.get().orElseThrow(Problem::noFarmBook);
    Map<String, Object> fields = EntryPosts.fields(body);
    fields.put("tank", tank.id());
    fields.put("tankName", tank.name());
    fields.putIfAbsent("time", timeOf(kept, body.path("id").asText()).toString());
    if (!(EntryPosts.entry(kind, fields, zone) instanceof TankEntry entry)) {
      throw new IllegalStateException("a kind of tanks makes an entry of tanks");
    }
    if (entry.where().time().isAfter(live.now().plus(JUST_NOW))) {
      throw EntryPosts.wrong(kind, toCome(entry.where().time()), zone);
    }
    Outcome outcome = EntryPosts.keep(ctx, kept, live.now(), by, body, entry);
    if (outcome instanceof Outcome.Kept fresh && fresh.recorded().correction().isEmpty()) {
      tellTheWatch(entry, by);
    }
  }

  private static WrongFieldException toCome(Instant time) {
    return new WrongFieldException(
        "time",
        "must not be to come but was %s".formatted(time),
        "that is still to come: it was %s",
        time);
  }

  /** Now; of a form that is sent again, the time at which it came first. */
  private Instant timeOf(RecordBook kept, String id) {
    return kept.records()
        .find(TankEntry.class, id)
        .map(s -> s.entry().where().time())
        .orElseGet(live::now);
  }

  /** What was just done moves the readings; what was written down late no longer does. */
  private void tellTheWatch(TankEntry entry, String by) {
    Optional<TankEvent.Kind> kind =
        switch (entry.kind()) {
          case FEED -> Optional.of(TankEvent.Kind.FED);
          case WATER_CHANGE -> Optional.of(TankEvent.Kind.WATER_CHANGED);
          case TREATMENT -> Optional.of(TankEvent.Kind.HANDLED);
          case HAND_CHECK -> Optional.of(TankEvent.Kind.CHECKED);
          default -> Optional.empty();
        };
    if (kind.isPresent() && entry.where().time().isAfter(live.now().minus(JUST_NOW))) {
      try {
        live.perform(new TankAct.Note(entry.where().tank(), kind.get(), by));
      } catch (RefusedActException | NotPassedOnException e) {
        LOG.warn("{}: kept, but the watch was not told: {}", entry.title(), e.getMessage());
      }
    }
  }
}
