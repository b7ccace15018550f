// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import io.javalin.config.RoutesConfig;
import io.javalin.http.Context;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Consumer;
import java.util.function.Supplier;
import opercle.analysis.alarm.RefusedActException;
import opercle.analysis.book.PhotoRecords;
import opercle.analysis.book.RecordBook;
import opercle.analysis.book.RecordBook.Outcome;
import opercle.analysis.farm.Tank;
import opercle.analysis.holding.TankWork;
import opercle.analysis.publish.TankAct;
import opercle.analysis.records.Entry;
import opercle.analysis.records.Records;
import opercle.analysis.records.Standing;
import opercle.analysis.records.TankEntry;
import opercle.analysis.records.Withdrawals;
import opercle.analysis.records.WrongFieldException;
import opercle.analysis.watch.TankEvent;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * The page and the addresses of holding: what has built up in each holding tank, what was done and
 * measured there, how much salt for a strength, how much water to change. Errors are {@link
 * Problem}s. For any thread; may wait for a disk.
 */
public final class HoldingApi implements Consumer<RoutesConfig> {

  private static final Logger LOG = LoggerFactory.getLogger(HoldingApi.class);

  private static final Duration WORK_SHOWN = Duration.ofDays(60);

  /** What is told to the watch must be the same meal as what is kept. */
  private static final Duration JUST_NOW = TankWork.SAME_MEAL;

  private final LiveFarm live;
  private final Supplier<Optional<RecordBook>> book;
  private final HoldingSight sight;
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
    this.sight = new HoldingSight(live, book, past, traces);
    this.zone = zone;
  }

  @Override
  public void accept(RoutesConfig routes) {
    String page = new PageFrame().live("holding", "Holding", PageFrame.At.behind("/"), "records");
    routes.get("/holding", ctx -> ctx.header("Cache-Control", "no-cache").html(page));
    routes.get("/api/v1/holding", this::all);
    routes.get("/api/v1/tanks/{id}/holding", this::one);
    new HoldingDoses(live, sight).routes(routes);
    routes.post("/api/v1/tanks/{id}/work", this::keep);
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
    Records records = sight.records();
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
        tank, sight.estimate(tank, records), Withdrawals.running(records, tank.id(), today()));
  }

  private void one(Context ctx) {
    Tank tank = Api.tank(ctx, live);
    Records records = sight.records();
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
