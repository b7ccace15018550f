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
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * The SQLite store of a process that may be started later; until then each question is answered by
 * a {@link StoreException} that says so. For many threads.
 */
final class StoreOnceThere implements ReadingStore {

  private static final Logger LOG = LoggerFactory.getLogger(StoreOnceThere.class);

  private final Path file;
  private @Nullable ReadingStore store;

  /**
   * @throws StoreException if it is there and cannot be read
   */
  StoreOnceThere(Path file) {
    this.file = file;
    if (Files.exists(file)) {
      store = SqliteReadings.openReadOnly(file);
    } else {
      LOG.warn(
          "the readings store {} is not there yet; no trace can be drawn until the service ingest has made it",
          file);
    }
  }

  private synchronized ReadingStore store() {
    ReadingStore open = store;
    if (open == null) {
      open = SqliteReadings.openReadOnly(file);
      store = open;
      LOG.info("the readings store {} is there now", file);
    }
    return open;
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
    if (store != null) {
      store.close();
    }
  }
}
