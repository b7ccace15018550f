// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import opercle.analysis.book.RecordBook.Outcome;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmReader;
import opercle.analysis.records.Entry;
import opercle.analysis.records.EntryFields;
import opercle.analysis.records.Records;
import opercle.analysis.records.TankEntry;
import opercle.analysis.stock.Fish;
import opercle.analysis.trip.MadeTrip;
import opercle.analysis.trip.TripEntry;
import opercle.analysis.trip.TripLog;
import opercle.ingest.ChildJvm;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Trips and records written down entry by entry by a process that is killed outright: what it was
 * told to be kept is there, nothing is there by half, and the same again is taken up.
 */
class EntriesKillTest {

  private static final int SURELY = 5;

  private static final Farm FARM =
      FarmReader.parse(
          "farm",
          """
          farm: Sallowmere
          tanks:
            - id: h1
              name: Holding 1
              kind: holding
              waterLitres: 1500
              depthM: 0.8
              supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }
          """);

  @TempDir Path folder;

  /** Fish that go from tank to tank: the farm as it is then, and that they were moved. */
  private static void move(FarmRecords farms, RecordBook records, int n) {
    var unused =
        farms.add(
            FARM,
            MadeTrip.START,
            "Maren",
            List.of("Move " + n),
            () -> {
              var kept =
                  records.keep(
                      "moved-%d-fish".formatted(n),
                      "Maren",
                      MadeTrip.START,
                      Optional.empty(),
                      EntryFields.read(
                          Entry.Kind.MOVED,
                          Map.of("tank", "h1", "time", "2026-03-14T09:00:00Z", "to", "h2")));
              if (!(kept instanceof Outcome.Kept)) {
                throw new IllegalStateException(kept.toString());
              }
            });
  }

  private static void write(TripRecords trips, RecordBook records, int n) {
    String trip = "trip-" + n;
    trips.begin(MadeTrip.loaded(MadeTrip.trailer(trip)));
    var unusedCheck = trips.add(trip, MadeTrip.check("check-" + n, 20, Fish.RESTLESS, 9.0));
    var unusedOut = trips.add(trip, MadeTrip.unloaded("out-" + n, 60));
    for (Map.Entry<String, Entry> entry : entries(n).entrySet()) {
      Outcome outcome =
          records.keep(entry.getKey(), "Maren", MadeTrip.START, Optional.empty(), entry.getValue());
      if (outcome instanceof Outcome.Refused refused) {
        throw new IllegalStateException(refused.reason());
      }
    }
  }

  private static Map<String, Entry> entries(int n) {
    return new TreeMap<>(
        Map.of(
            "a-water-" + n,
            EntryFields.read(
                Entry.Kind.WATER,
                Map.of("name", "Stew " + n, "type", "pond", "site", "Sallowmere")),
            "b-movement-" + n,
            EntryFields.read(
                Entry.Kind.MOVEMENT,
                Map.of(
                    "species", "Tench",
                    "count", 40,
                    "to", "a-water-" + n,
                    "departs", "2026-03-14T08:00:00Z",
                    "arrives", "2026-03-14T09:00:00Z")),
            "c-salt-" + n,
            EntryFields.read(
                Entry.Kind.SALT, Map.of("tank", "h1", "time", "2026-03-14T09:00:00Z", "kg", 1.5))));
  }

  /** Writes without end, and prints how many rounds are on the disk. */
  static final class Writer {
    private Writer() {}

    @SuppressWarnings("resource") // it is there to be killed
    public static void main(String[] arguments) {
      FarmBook book = FarmBook.open(Path.of(arguments[0]));
      TripRecords trips = new TripRecords(book, "Sallowmere");
      RecordBook records = new RecordBook(book, "Sallowmere");
      FarmRecords farms = new FarmRecords(book);
      for (int n = 1; ; n++) {
        write(trips, records, n);
        move(farms, new RecordBook(book, "Sallowmere"), n);
        System.out.println("kept " + n);
      }
    }
  }

  @Test
  void killedInTheMiddleOfAnEntry_leavesTheBookConsistent_andTheSameAgainIsTakenUp()
      throws Exception {
    Path path = folder.resolve("book.db");
    try (ChildJvm child = ChildJvm.start(Writer.class, path.toString())) {
      var unused = child.awaitLine(l -> l.equals("kept " + SURELY), Duration.ofSeconds(60));
      child.kill();
    }

    try (FarmBook book = FarmBook.open(path)) {
      TripRecords trips = new TripRecords(book, "Sallowmere");
      RecordBook records = new RecordBook(book, "Sallowmere");
      List<TripLog> there = trips.newest(Instant.parse("2099-01-01T00:00:00Z"), 10_000);
      assertThat(there).hasSizeGreaterThanOrEqualTo(SURELY);
      for (TripLog log : there) {
        // An entry is there whole, after those before it.
        assertThat(log.entries().get(0)).isInstanceOf(TripEntry.Loaded.class);
        assertThat(log.checks()).hasSize(log.entries().size() > 1 ? 1 : 0);
        assertThat(log.unloaded().isPresent()).isEqualTo(log.entries().size() == 3);
      }
      Records kept = records.records();
      for (int n = 1; n <= SURELY; n++) {
        assertThat(trips.trip("trip-" + n).orElseThrow().unloaded()).isPresent();
        for (String id : entries(n).keySet()) {
          assertThat(kept.find(Entry.class, id)).as(id).isPresent();
        }
      }

      assertThat(kept.standing(TankEntry.Moved.class))
          .as("fish that were moved, and that they were: both or neither")
          .hasSize(new FarmRecords(book).newest(100_000).size())
          .hasSizeGreaterThanOrEqualTo(SURELY);

      int last = there.size();
      write(trips, records, last);
      assertThat(trips.trip("trip-" + last).orElseThrow().entries()).hasSize(3);
      assertThat(records.records().all().stream().filter(r -> r.id().endsWith("-" + last)))
          .hasSize(entries(last).size());
    }
  }
}
