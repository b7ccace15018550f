// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.UUID;
import java.util.function.Consumer;
import opercle.analysis.book.BookException;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.FarmVersion;
import opercle.analysis.book.RecordBook;
import opercle.analysis.book.TankEventRecords;
import opercle.analysis.book.TripRecords;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.analysis.farm.TankThen;
import opercle.analysis.holding.HandMoves;
import opercle.analysis.holding.TankWork;
import opercle.analysis.publish.WatchService;
import opercle.analysis.records.Records;
import opercle.analysis.records.TankEntry;
import opercle.analysis.setup.FarmDesk;
import opercle.analysis.setup.TripDoor;
import opercle.analysis.watch.TankEvent;
import opercle.dashboard.web.FishMoves;
import opercle.dashboard.web.HoldingApi;
import opercle.dashboard.web.LiveFarm;
import opercle.dashboard.web.Traces;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * What is written down of holding tanks: for the pages, and for the watch, which is told at the
 * start and at every entry.
 */
final class FarmHolding {

  private static final Logger LOG = LoggerFactory.getLogger(FarmHolding.class);

  private static final Duration MEALS_LOOKED_BACK = Duration.ofDays(3);

  private FarmHolding() {}

  /** In a book that is open here, with the watch that is told. */
  static HoldingApi in(
      FarmBook book,
      WatchService watch,
      LiveFarm live,
      Kept kept,
      Traces traces,
      ZoneId zone,
      InstantSource clock) {
    RecordBook records = tell(book, watch, clock);
    return new HoldingApi(
        live, () -> Optional.of(records), kept.past(), traces, zone, kept.photos());
  }

  /** In the book that another process writes; it may not be there yet. */
  static HoldingApi toRead(
      BookToRead book, Farm farm, LiveFarm live, Kept kept, Traces traces, ZoneId zone) {
    return new HoldingApi(
        live,
        () -> book.book().map(b -> new RecordBook(b, farm.name())),
        kept.past(),
        traces,
        zone,
        kept.photos());
  }

  /** Writes down in the records that fish went from tank to tank. */
  static FishMoves moves(FarmBook book, Farm farm, InstantSource clock) {
    RecordBook records = new RecordBook(book, farm.name());
    return (move, by) -> {
      RecordBook.Outcome outcome =
          records.keep(UUID.randomUUID().toString(), by, clock.instant(), Optional.empty(), move);
      if (outcome instanceof RecordBook.Outcome.Refused refused) {
        throw new BookException(refused.reason());
      }
    };
  }

  /** Where trips are written: with their unloading the fish are out of the farm's tank. */
  static TripDoor trips(FarmBook book, FarmDesk desk, InstantSource clock) {
    String farm = desk.farm().name();
    return new TripDoor(
        new TripRecords(book, farm),
        desk,
        new opercle.analysis.book.FarmRecords(book),
        new RecordBook(book, farm),
        clock);
  }

  /**
   * A tank that is described anew, or that is new, is judged by what is written down of it from
   * then on.
   */
  static void follow(
      FarmDesk desk, FarmBook book, Consumer<Map<String, TankWork>> told, InstantSource clock) {
    String farm = desk.farm().name();
    RecordBook records = new RecordBook(book, farm);
    TankEventRecords events = new TankEventRecords(book, farm);
    desk.follow(
        version -> notePerhaps(version, new opercle.analysis.book.FarmRecords(book), records));
    desk.follow(
        version -> told.accept(work(records.records(), events, version.farm(), clock.instant())));
  }

  /** Fish that were put in by hand may be ones that were taken out elsewhere under a medicine. */
  private static void notePerhaps(
      FarmVersion version, opercle.analysis.book.FarmRecords versions, RecordBook records) {
    Instant now = version.time();
    try {
      List<TankThen.Version> recent =
          versions.inForce(now.minus(HandMoves.WITHIN), now).stream()
              .map(v -> new TankThen.Version(v.time(), v.farm()))
              .toList();
      // The day before, wherever the farm is: whoever moves them on is told by the farm's own day.
      LocalDate day = LocalDate.ofInstant(now, ZoneOffset.UTC).minusDays(1);
      for (TankEntry.Moved move : HandMoves.of(recent, records.records(), day)) {
        var unused =
            records.keep(UUID.randomUUID().toString(), version.by(), now, Optional.empty(), move);
      }
    } catch (BookException e) {
      LOG.warn("whether fish were moved by hand is not looked at: {}", e.getMessage());
    }
  }

  /** Tells the watch what is written down now, and whatever is written down here from now on. */
  static RecordBook tell(FarmBook book, WatchService watch, InstantSource clock) {
    String farm = watch.farm().name();
    RecordBook records = new RecordBook(book, farm);
    TankEventRecords events = new TankEventRecords(book, farm);
    watch.know(work(records.records(), events, watch.farm(), clock.instant()));
    records.follow(
        recorded -> {
          if (recorded.entry() instanceof TankEntry) {
            watch.know(work(records.records(), events, watch.farm(), clock.instant()));
          }
        });
    return records;
  }

  private static Map<String, TankWork> work(
      Records records, TankEventRecords events, Farm farm, Instant now) {
    Map<String, TankWork> work = new HashMap<>();
    for (Tank tank : farm.tanks()) {
      if (tank.kind() == Tank.Kind.HOLDING) {
        List<Instant> meals =
            events.between(tank.id(), now.minus(MEALS_LOOKED_BACK), now).stream()
                .filter(e -> e.kind() == TankEvent.Kind.FED)
                .map(TankEvent::time)
                .toList();
        work.put(tank.id(), TankWork.of(records, tank.id()).withMeals(meals, tank.id()));
      }
    }
    return work;
  }
}
