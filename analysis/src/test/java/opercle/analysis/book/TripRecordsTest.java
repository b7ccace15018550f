// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import static opercle.analysis.trip.MadeTrip.START;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.util.List;
import java.util.Optional;
import opercle.analysis.Band;
import opercle.analysis.stock.Fish;
import opercle.analysis.stock.Species;
import opercle.analysis.trip.MadeTrip;
import opercle.analysis.trip.MeasuredDemand;
import opercle.analysis.trip.PastDemand;
import opercle.analysis.trip.RefusedEntryException;
import opercle.analysis.trip.TripEntry.Loaded;
import opercle.analysis.trip.TripEntry.Withdrawn;
import opercle.analysis.trip.TripLog;
import opercle.analysis.tripfile.TripFile;
import opercle.analysis.tripfile.TripFileTest;
import opercle.analysis.watch.TankEvent;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class TripRecordsTest {

  @TempDir Path folder;
  private BookPlace place;
  private FarmBook book;
  private TripRecords trips;

  BookKind kind() {
    return BookKind.SQLITE;
  }

  @BeforeEach
  void open() {
    place = kind().place(folder);
    book = FarmBook.open(place);
    trips = new TripRecords(book, "Sallowmere");
  }

  @AfterEach
  void close() {
    book.close();
  }

  private TripLog begun(String id) {
    return trips.begin(MadeTrip.loaded(MadeTrip.trailer(id)));
  }

  private long rows(String table) {
    return book.read(
        "count",
        c -> {
          try (var s = c.createStatement();
              var row = s.executeQuery("SELECT count(*) FROM " + table)) {
            row.next();
            return row.getLong(1);
          }
        });
  }

  @Test
  void trip_isKept_overClosing() {
    begun("trip-1");
    trips.add("trip-1", MadeTrip.check("c1", 20, Fish.RESTLESS, 9.0));
    TripLog log = trips.add("trip-1", MadeTrip.unloaded("u1", 60)).orElseThrow();
    book.close();

    try (FarmBook again = FarmBook.open(place)) {
      assertThat(new TripRecords(again, "Sallowmere").trip("trip-1")).contains(log);
      assertThat(new TripRecords(again, "Elsewhere").trip("trip-1")).isEmpty();
    }
  }

  @Test
  void formSentTwice_isOneRow() {
    begun("trip-1");
    begun("trip-1");
    trips.add("trip-1", MadeTrip.check("c1", 20, Fish.RESTLESS, 9.0));
    trips.add("trip-1", MadeTrip.check("c1", 20, Fish.RESTLESS, 9.0));

    assertThat(rows("trip_entry")).isEqualTo(2);
    assertThatThrownBy(() -> trips.add("trip-1", MadeTrip.check("c1", 20, Fish.GASPING, 9.0)))
        .isInstanceOf(RefusedEntryException.class);
    assertThat(rows("trip_entry")).isEqualTo(2);
    assertThat(trips.trip("trip-1").orElseThrow().checks().get(0).fish()).isEqualTo(Fish.RESTLESS);
  }

  @Test
  void entryOfNoTrip_isToldApart() {
    assertThat(trips.add("nowhere", MadeTrip.check("c1", 20, Fish.RESTLESS, 9.0))).isEmpty();
    assertThat(rows("trip_entry")).isZero();
  }

  @Test
  void file_takenInTwice_changesNothing() {
    TripFile file = TripFileTest.whole();

    TripRecords.Taken first = trips.take(file);
    TripRecords.Taken second = trips.take(file);

    assertThat(first).isEqualTo(new TripRecords.Taken(4, file.readings().size(), 1, 1, 1));
    assertThat(second).isEqualTo(new TripRecords.Taken(0, 0, 0, 0, 0));
    TripLog log = trips.trip("trip-1").orElseThrow();
    assertThat(log).isEqualTo(file.log());
    assertThat(trips.readings(log)).containsExactlyInAnyOrderElementsOf(file.readings());
    assertThat(trips.alarms(log)).isEqualTo(file.alarms());
    assertThat(
            new TankEventRecords(book, "Sallowmere").between("t1", START, START.plusSeconds(3600)))
        .isEqualTo(file.events());
    assertThat(new PhotoRecords(book, "Sallowmere").of(List.of("c1", "c2")))
        .isEqualTo(file.photos());
  }

  @Test
  void tankMakesOneTripAtATime_untilItIsEndedOrWithdrawn() {
    begun("trip-a");
    assertThatThrownBy(() -> begun("trip-b"))
        .isInstanceOfSatisfying(
            RefusedEntryException.class,
            refused ->
                assertThat(refused.sentence(ZoneId.of("Europe/Berlin")))
                    .isEqualTo(
                        "Trailer tank is on a trip already, since 14 Mar 2026, 10:00, to Long Pool."
                            + " End that one first, or withdraw it if it was begun by mistake."));
    assertThat(rows("trip_entry")).isEqualTo(1);
    assertThat(begun("trip-a").trip().id()).as("the same form again").isEqualTo("trip-a");

    trips.add("trip-a", new Withdrawn("w1", START.plusSeconds(60), "Maren", "wrong tank"));
    begun("trip-b");
    trips.add("trip-b", MadeTrip.unloaded("u1", 60));
    begun("trip-c");

    Loaded night = MadeTrip.loaded(MadeTrip.night("night-1"));
    assertThat(trips.begin(night).isUnderWay()).as("a night can be looked at any time").isTrue();
  }

  @Test
  void tripThatWasForgottenLongAgo_holdsUpNoOther() {
    begun("trip-a");
    Loaded later = MadeTrip.loaded(MadeTrip.trailer("trip-b"));
    Instant weeks = START.plus(TripLog.LONGEST).plusSeconds(1);

    assertThat(
            trips
                .begin(new Loaded(later.id(), weeks, later.by(), later.corrects(), later.trip()))
                .trip()
                .id())
        .isEqualTo("trip-b");
  }

  @Test
  void checkOfLongAfterTheUnloading_isNotTaken_butAFilesIsReadable() {
    begun("trip-1");
    trips.add("trip-1", MadeTrip.unloaded("u1", 60));

    trips.add("trip-1", MadeTrip.check("c1", 90, Fish.RESTLESS, 9.0));
    assertThatThrownBy(() -> trips.add("trip-1", MadeTrip.check("c2", 91, Fish.RESTLESS, 9.0)))
        .hasMessageContaining(
            "The fish went out at 14 Mar 2026, 10:00, and the check is of 14 Mar 2026, 10:31, more"
                + " than 30 min later.");
  }

  @Test
  void fileThatContradictsTheBook_leavesItAsItWas() {
    begun("trip-1");
    trips.add("trip-1", MadeTrip.unloaded("u9", 50));

    // The file's loading has the same id and says something else.
    assertThatThrownBy(() -> trips.take(TripFileTest.whole()))
        .isInstanceOf(RefusedEntryException.class);

    assertThat(rows("trip_entry")).isEqualTo(2);
    assertThat(rows("trip_reading")).isZero();
    assertThat(rows("tank_event")).isZero();
  }

  @Test
  void newest_comesFirst_andNotMoreThanAskedFor() {
    begun("trip-a");
    trips.add("trip-a", MadeTrip.unloaded("u1", 60));
    begun("trip-b");

    assertThat(trips.newest(START.plusSeconds(1), 10))
        .extracting(log -> log.trip().id())
        .containsExactly("trip-a", "trip-b");
    assertThat(trips.newest(START.plusSeconds(1), 1)).hasSize(1);
    assertThat(trips.newest(START, 10)).isEmpty();
  }

  @Test
  void newest_goesByTheLoadingThatHolds_notByTheOneThatWasWrong() {
    begun("trip-a");
    trips.add("trip-a", MadeTrip.unloaded("u1", 60));
    TripLog other = begun("trip-b");
    Loaded wrong = other.loaded();
    trips.add(
        "trip-b",
        new Loaded(
            "corrected",
            START.plusSeconds(3600),
            wrong.by(),
            Optional.of(wrong.id()),
            wrong.trip()));

    assertThat(trips.newest(START.plusSeconds(7200), 10))
        .extracting(log -> log.trip().id())
        .containsExactly("trip-b", "trip-a");
    assertThat(trips.newest(START.plusSeconds(1), 10))
        .extracting(log -> log.trip().id())
        .containsExactly("trip-a");
  }

  @Test
  void whatATripTaught_isKept_andReplacedByWhatItTeachesAnew() {
    PastDemand first =
        new PastDemand(
            "trip-1",
            START,
            Species.TENCH,
            0.8,
            12.0,
            MeasuredDemand.Way.GAS_OFF,
            new Band(40.0, 45.0, 50.0));
    PastDemand better =
        new PastDemand(
            "trip-1",
            START,
            Species.TENCH,
            0.8,
            12.0,
            MeasuredDemand.Way.AFTER_A_FAILURE,
            new Band(42.0, 45.0, 47.0));

    trips.learn(first);
    trips.learn(better);

    assertThat(trips.demands()).containsExactly(better);
  }

  @Test
  void nightThatIsLookedAtThreeTimes_teachesOnce() {
    for (String id : List.of("night-1", "night-2", "night-3")) {
      trips.begin(MadeTrip.loaded(MadeTrip.night(id)));
      var unused = trips.add(id, MadeTrip.unloaded(id + "-out", 60));
      trips.learn(taught(id, MeasuredDemand.Way.GAS_OFF));
    }
    assertThat(trips.demands()).containsExactly(taught("night-1", MeasuredDemand.Way.GAS_OFF));

    trips.learn(taught("night-1", MeasuredDemand.Way.STEADY));
    assertThat(trips.demands())
        .as("the surer one goes before")
        .containsExactly(taught("night-2", MeasuredDemand.Way.GAS_OFF));
  }

  /** A year that was mistyped, and put right, does not take up the tank for a year. */
  @Test
  void spanOfATrip_goesByWhatHolds_notByWhatWasCorrected() {
    Loaded night = MadeTrip.loaded(MadeTrip.night("night-1"));
    Instant yearBefore = START.minus(Duration.ofDays(365));
    trips.begin(new Loaded(night.id(), yearBefore, night.by(), night.corrects(), night.trip()));
    trips.add(
        "night-1", new Loaded("right", START, night.by(), Optional.of(night.id()), night.trip()));
    trips.add("night-1", MadeTrip.unloaded("out-1", 60));
    Loaded before = MadeTrip.loaded(MadeTrip.night("night-0"));
    Instant weekBefore = START.minus(Duration.ofDays(7));
    trips.begin(new Loaded(before.id(), weekBefore, before.by(), before.corrects(), before.trip()));
    trips.add("night-0", MadeTrip.unloaded("out-0", 60 - 7 * 24 * 60));
    trips.learn(taught("night-0", MeasuredDemand.Way.GAS_OFF));
    trips.learn(taught("night-1", MeasuredDemand.Way.GAS_OFF));

    assertThat(trips.demands()).extracting(PastDemand::trip).containsExactly("night-0", "night-1");
  }

  @Test
  void tripThatIsTooLong_isRefused_withTheLimitNamed() {
    Loaded loaded = MadeTrip.loaded(MadeTrip.trailer("trip-1"));
    Instant yearBefore = START.minus(Duration.ofDays(365));
    trips.begin(new Loaded(loaded.id(), yearBefore, loaded.by(), loaded.corrects(), loaded.trip()));

    assertThatThrownBy(() -> trips.add("trip-1", MadeTrip.unloaded("u1", 60)))
        .hasMessageContaining("more than 8 days later, too long for one trip");
    assertThatThrownBy(() -> trips.add("trip-1", MadeTrip.check("c1", 20, Fish.RESTLESS, 9.0)))
        .hasMessageContaining("The fish went in at 14 Mar 2025")
        .hasMessageContaining("more than 8 days, too long for one trip");
    assertThat(rows("trip_entry")).isEqualTo(1);
  }

  private static PastDemand taught(String trip, MeasuredDemand.Way way) {
    return new PastDemand(
        trip, START, Species.COMMON_CARP, 2.3, 12.0, way, new Band(40.0, 45.0, 50.0));
  }

  @Test
  void events_areWritten_oncePerEvent_andBeforeClosingEnds() {
    TankEvent fed = new TankEvent("h1", TankEvent.Kind.FED, START, Optional.of("Maren"));
    try (TankEventHistory history = new TankEventHistory(book, "Sallowmere")) {
      history.noted(fed);
      history.noted(fed);
    }

    TankEventRecords records = new TankEventRecords(book, "Sallowmere");
    assertThat(records.between("h1", START, START.plusSeconds(1))).containsExactly(fed);
    assertThat(records.between("h1", START.minusSeconds(9), START)).isEmpty();
    assertThat(records.between("h2", START, START.plusSeconds(1))).isEmpty();
  }

  @Test
  void events_waitWhileTheBookTakesNothing() {
    List<List<TankEvent>> kept = new java.util.concurrent.CopyOnWriteArrayList<>();
    java.util.concurrent.atomic.AtomicInteger refused =
        new java.util.concurrent.atomic.AtomicInteger(2);
    TankEvent fed = new TankEvent("h1", TankEvent.Kind.FED, START);
    try (TankEventHistory history =
        new TankEventHistory(
            events -> {
              if (refused.getAndDecrement() > 0) {
                throw new BookException("the disk is full");
              }
              kept.add(events);
            },
            Duration.ofMillis(1))) {
      history.noted(fed);
      org.awaitility.Awaitility.await().until(() -> !kept.isEmpty());
      org.awaitility.Awaitility.await().until(() -> history.trouble().isEmpty());
    }

    assertThat(kept).containsExactly(List.of(fed));
  }
}
