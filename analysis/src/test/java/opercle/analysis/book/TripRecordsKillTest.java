// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import opercle.analysis.stock.Fish;
import opercle.analysis.trip.MadeTrip;
import opercle.analysis.trip.TripLog;
import opercle.analysis.tripfile.TripFile;
import opercle.ingest.ChildJvm;
import opercle.ingest.reading.Quantity;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Trips taken in by a process that is killed outright: each is there whole, or not at all. */
class TripRecordsKillTest {

  private static final int READINGS = 1801;

  @TempDir Path folder;

  private static TripFile file(int n) {
    return new TripFile(
        "Sallowmere",
        TripLog.of(MadeTrip.loaded(MadeTrip.trailer("trip-" + n)))
            .with(MadeTrip.check("c1", 20, Fish.RESTLESS, 9.0))
            .with(MadeTrip.unloaded("u1", 60)),
        MadeTrip.readings(Quantity.OXYGEN, 2, 3600, s -> 9.0),
        List.of(),
        List.of());
  }

  /** Takes trips in without end, and prints how many are in. */
  static final class Writer {
    private Writer() {}

    @SuppressWarnings("resource") // it is there to be killed
    public static void main(String[] arguments) {
      TripRecords trips = new TripRecords(FarmBook.open(Path.of(arguments[0])), "Sallowmere");
      for (int n = 1; ; n++) {
        trips.take(file(n));
        System.out.println("kept " + n);
      }
    }
  }

  @Test
  void killedWhileTakingTripsIn_leavesWholeTripsOnly_andTakesThemUpAgain() throws Exception {
    Path path = folder.resolve("book.db");
    try (ChildJvm child = ChildJvm.start(Writer.class, path.toString())) {
      var unused = child.awaitLine(l -> l.equals("kept 5"), Duration.ofSeconds(60));
      child.kill();
    }

    try (FarmBook book = FarmBook.open(path)) {
      TripRecords trips = new TripRecords(book, "Sallowmere");
      List<TripLog> there = trips.newest(Instant.parse("2099-01-01T00:00:00Z"), 10_000);
      assertThat(there).hasSizeGreaterThanOrEqualTo(5);
      for (TripLog log : there) {
        assertThat(log.entries()).hasSize(3);
        assertThat(trips.readings(log)).hasSize(READINGS);
      }
      assertThat(trips.take(file(3))).isEqualTo(new TripRecords.Taken(0, 0, 0, 0, 0));
      assertThat(trips.take(file(there.size() + 1)).readings()).isEqualTo(READINGS);
    }
  }
}
