// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.tuple;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.UUID;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.RecordBook;
import opercle.analysis.book.TankEventRecords;
import opercle.analysis.book.TripRecords;
import opercle.analysis.records.TankEntry;
import opercle.analysis.trip.MeasuredDemand;
import opercle.analysis.trip.Review;
import opercle.analysis.trip.TripEntry.Loaded;
import opercle.analysis.trip.TripEntry.Unloaded;
import opercle.analysis.trip.TripLog;
import opercle.analysis.tripfile.TripFile;
import opercle.analysis.watch.TankEvent;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class TripDeskTest {

  @TempDir Path folder;

  /** A store that gets more while it is read. */
  private static final class GrowingTraces implements Traces {

    private final List<Reading> all = new ArrayList<>();

    @Override
    public List<Series> series(String tank) {
      return all.stream()
          .filter(r -> r.tank().equals(tank))
          .map(Reading::series)
          .distinct()
          .toList();
    }

    @Override
    public List<Bucket> buckets(Series series, Instant from, Instant to, int count) {
      return List.of();
    }

    @Override
    public List<Reading> readings(Series series, Instant from, Instant to) {
      return all.stream()
          .filter(r -> r.series().equals(series))
          .filter(r -> !r.time().isBefore(from) && r.time().isBefore(to))
          .toList();
    }
  }

  @Test
  void tripOfAnotherFarm_isNotMixedWithTheTankOfTheSameName_norLearnedFrom() {
    GrowingTraces traces = new GrowingTraces();
    Instant then = KeptTrips.THEN.plusSeconds(1800).plusMillis(500);
    traces.all.add(new Reading("t1", Quantity.OXYGEN, "ours", then, 1.25));
    try (FarmBook book = FarmBook.open(folder.resolve("book.db"))) {
      TripRecords trips = new TripRecords(book, "Sallowmere");
      TripFile own = KeptTrips.splitLine("theirs");
      TripFile other =
          new TripFile("Withy Farm", own.log(), own.readings(), own.alarms(), own.events());
      trips.take(other.takenInBy("Sallowmere"));
      TripDesk desk =
          new TripDesk(
              FakeFarm.quiet(), traces, PastAlarms.NONE, () -> Optional.of(trips), Optional::empty);

      Review review = desk.review(desk.trip("theirs"));

      assertThat(review.oxygen().orElseThrow().lowestMgPerL()).isGreaterThan(1.25);
      assertThat(trips.readings(desk.trip("theirs"))).noneMatch(r -> r.probe().equals("ours"));
      assertThat(
              new TankEventRecords(book, "Sallowmere")
                  .between("t1", then.minusSeconds(9000), then.plusSeconds(9000)))
          .as("a meal of theirs is none of our tank's")
          .isEmpty();
      assertThat(trips.demands()).isEmpty();
    }
  }

  @Test
  void readingsThatComeLate_enterAReviewThatWasMade() {
    GrowingTraces traces = new GrowingTraces();
    try (FarmBook book = FarmBook.open(folder.resolve("book.db"))) {
      TripRecords trips = new TripRecords(book, "Sallowmere");
      TripFile file = KeptTrips.splitLine("seen");
      trips.take(file);
      TripDesk desk =
          new TripDesk(
              FakeFarm.quiet(), traces, PastAlarms.NONE, () -> Optional.of(trips), Optional::empty);
      TripLog log = desk.trip("seen");

      Review first = desk.review(log);
      assertThat(desk.review(log)).as("nothing has come").isSameAs(first);

      Instant late = KeptTrips.THEN.plusSeconds(1800).plusMillis(500);
      traces.all.add(new Reading("t1", Quantity.OXYGEN, "late", late, 1.25));
      Review second = desk.review(log);
      assertThat(second).isNotSameAs(first);
      assertThat(desk.review(log)).isSameAs(second);
      assertThat(trips.readings(log)).anyMatch(r -> r.probe().equals("late"));
    }
  }

  /** What was written down afterwards told the watch nothing; the review has to know of it. */
  @Test
  void waterAndFishThatWereWrittenDownLate_areAmongWhatWasNoted() {
    try (FarmBook book = FarmBook.open(folder.resolve("book.db"))) {
      TripRecords trips = new TripRecords(book, "Sallowmere");
      trips.take(KeptTrips.splitLine("seen"));
      RecordBook work = new RecordBook(book, "Sallowmere");
      Instant at = KeptTrips.THEN.plusSeconds(1200);
      keep(work, new TankEntry.WaterChange(where("t1", at), 100.0, Optional.empty()));
      keep(work, moved("t1", "h1", at.plusSeconds(60)));
      keep(work, moved("h2", "t1", at.plusSeconds(120)));
      keep(work, moved("h2", "h1", at.plusSeconds(180)));
      TripDesk desk =
          new TripDesk(
              FakeFarm.quiet(),
              new GrowingTraces(),
              PastAlarms.NONE,
              () -> Optional.of(trips),
              () -> Optional.of(work));

      assertThat(desk.trace(desk.trip("seen")).events())
          .extracting(TankEvent::kind, TankEvent::time)
          .containsExactly(
              tuple(TankEvent.Kind.WATER_CHANGED, at),
              tuple(TankEvent.Kind.FISH_REMOVED, at.plusSeconds(60)),
              tuple(TankEvent.Kind.FISH_ADDED, at.plusSeconds(120)));
    }
  }

  private static TankEntry.Where where(String tank, Instant at) {
    return new TankEntry.Where(tank, Optional.empty(), at);
  }

  private static TankEntry.Moved moved(String from, String to, Instant at) {
    return new TankEntry.Moved(
        where(from, at),
        to,
        Optional.empty(),
        Optional.empty(),
        OptionalDouble.of(20.0),
        Optional.empty());
  }

  private static void keep(RecordBook work, TankEntry entry) {
    RecordBook.Outcome kept =
        work.keep(UUID.randomUUID().toString(), "Tove", FakeFarm.NIGHT, Optional.empty(), entry);
    assertThat(kept).isInstanceOf(RecordBook.Outcome.Kept.class);
  }

  /** The next plan goes by it, and the store forgets its readings. */
  @Test
  void tripThatNobodyLooksAt_isLaidDownAllTheSame_onceItHasSettled() {
    GrowingTraces traces = new GrowingTraces();
    traces.all.addAll(GasOffNight.READINGS);
    FakeFarm farm = FakeFarm.quiet();
    farm.advance(Duration.between(farm.now(), GasOffNight.UNTIL.plusSeconds(300)));
    try (FarmBook book = FarmBook.open(folder.resolve("book.db"))) {
      TripRecords trips = new TripRecords(book, "Sallowmere");
      TripLog begun = trips.begin(GasOffNight.loaded());
      trips.add(begun.trip().id(), GasOffNight.over());
      TripDesk desk =
          new TripDesk(farm, traces, PastAlarms.NONE, () -> Optional.of(trips), Optional::empty);

      desk.layDown(3);
      assertThat(trips.demands()).as("late readings may still come").isEmpty();

      farm.advance(Duration.ofMinutes(6));
      desk.layDown(3);
      assertThat(trips.demands())
          .singleElement()
          .satisfies(d -> assertThat(d.way()).isEqualTo(MeasuredDemand.Way.GAS_OFF));
      assertThat(trips.readings(begun)).hasSameSizeAs(GasOffNight.READINGS);
    }
  }

  /** More than a page of them, as a keeper who writes down a month's trips may have them. */
  @Test
  void tripsLoadedAtOneInstant_areAllLaidDown() {
    GrowingTraces traces = new GrowingTraces();
    Loaded plain = KeptTrips.underWay("plain");
    traces.all.add(new Reading("t1", Quantity.OXYGEN, "1", plain.time().plusSeconds(60), 9.25));
    try (FarmBook book = FarmBook.open(folder.resolve("book.db"))) {
      TripRecords trips = new TripRecords(book, "Sallowmere");
      int many = 103;
      for (int n = 0; n < many; n++) {
        String id = "trip-%03d".formatted(n);
        trips.begin(KeptTrips.underWay(id));
        trips.add(
            id,
            new Unloaded(
                id + "-out",
                plain.time().plusSeconds(600),
                "Maren",
                Optional.empty(),
                List.of(),
                OptionalDouble.empty(),
                ""));
      }
      TripDesk desk =
          new TripDesk(
              FakeFarm.quiet(), traces, PastAlarms.NONE, () -> Optional.of(trips), Optional::empty);

      desk.layDown(many);
      desk.layDown(many);

      assertThat(trips.newest(FakeFarm.NIGHT, many)).hasSize(many);
      assertThat(trips.newest(FakeFarm.NIGHT, many))
          .allSatisfy(log -> assertThat(trips.readings(log)).as(log.trip().id()).hasSize(1));
    }
  }
}
