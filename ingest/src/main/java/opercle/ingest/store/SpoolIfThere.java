// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import org.jspecify.annotations.Nullable;

/**
 * InfluxDB, and before it the spool of the process that writes to it, from when that is there: the
 * two may be started in any order. For many threads.
 */
final class SpoolIfThere implements ReadingStore {

  private final Path file;
  private final InfluxReadings influx;
  private final boolean isShared;
  private @Nullable ReadingStore both;

  SpoolIfThere(Path file, InfluxReadings influx, boolean isShared) {
    this.file = file;
    this.influx = influx;
    this.isShared = isShared;
  }

  private synchronized ReadingStore store() {
    if (both == null) {
      if (!Files.isRegularFile(file)) {
        return influx;
      }
      try {
        both = new SpoolFirst(SqliteReadings.openReadOnly(file), influx, isShared);
      } catch (StoreException e) {
        return influx; // it is only just being made
      }
    }
    return both;
  }

  @Override
  public void accept(List<Reading> batch) {
    throw new UnsupportedOperationException("this is for reading only");
  }

  @Override
  public List<Reading> range(Series series, Instant from, Instant to) {
    return store().range(series, from, to);
  }

  @Override
  public List<Bucket> buckets(Series series, Instant from, Instant to, int count) {
    return store().buckets(series, from, to, count);
  }

  @Override
  public Optional<Reading> newest(Series series) {
    return store().newest(series);
  }

  @Override
  public List<Series> series() {
    return store().series();
  }

  @Override
  public synchronized void close() {
    if (both == null) {
      influx.close();
    } else {
      both.close();
    }
  }
}
