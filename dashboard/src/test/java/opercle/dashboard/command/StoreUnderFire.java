// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Path;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.BitSet;
import java.util.Optional;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import opercle.ingest.store.Bucket;
import opercle.ingest.store.LocalInflux;
import opercle.ingest.store.SqliteReadings;

/**
 * What the store has of the readings that were sent: the time of each is its number, in
 * milliseconds since the start.
 */
final class StoreUnderFire {

  private final Path folder;
  private final Optional<LocalInflux> influx;
  private final Instant start;

  /**
   * @param folder with Opercle's data
   * @param influx where it writes to; empty: into its own data
   */
  StoreUnderFire(Path folder, Optional<LocalInflux> influx, Instant start) {
    this.folder = folder;
    this.influx = influx;
    this.start = start;
  }

  /** The numbers of the readings that are there. */
  BitSet stored() {
    BitSet stored = new BitSet();
    if (influx.isPresent()) {
      storedThere(influx.get(), stored);
      return stored;
    }
    try (SqliteReadings store =
        SqliteReadings.openReadOnly(folder.resolve("opercle-data/readings.db"))) {
      for (int tank = 0; tank < KillsMain.TANKS; tank++) {
        Series series = new Series("h" + tank, Quantity.OXYGEN, Reading.DEFAULT_PROBE);
        for (Reading reading :
            store.range(series, start, start.plusMillis(KillsMain.MOST_READINGS))) {
          note(stored, reading.time().toEpochMilli());
        }
      }
    }
    return stored;
  }

  private void storedThere(LocalInflux there, BitSet stored) {
    try {
      for (int tank = 0; tank < KillsMain.TANKS; tank++) {
        for (long time : there.times("opercle_reading", "\"tank\" = 'h%d'".formatted(tank))) {
          note(stored, time);
        }
      }
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new IllegalStateException(e);
    }
  }

  private void note(BitSet stored, long timeMs) {
    stored.set((int) (timeMs - start.toEpochMilli()));
  }

  /** How many readings the minutes were made of. */
  long countedInMinutes() throws IOException, InterruptedException {
    if (influx.isPresent()) {
      return influx.get().countedInMinutes("");
    }
    Instant from = start.truncatedTo(ChronoUnit.MINUTES);
    int minutes = KillsMain.MOST_READINGS / 60_000 + 2;
    long counted = 0;
    try (SqliteReadings store =
        SqliteReadings.openReadOnly(folder.resolve("opercle-data/readings.db"))) {
      for (int tank = 0; tank < KillsMain.TANKS; tank++) {
        Series series = new Series("h" + tank, Quantity.OXYGEN, Reading.DEFAULT_PROBE);
        Instant to = from.plus(minutes, ChronoUnit.MINUTES);
        counted += store.buckets(series, from, to, minutes).stream().mapToLong(Bucket::count).sum();
      }
    }
    return counted;
  }
}
