// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.nio.file.Files;
import java.nio.file.Path;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * The SQLite store of a process that may be started later; until then each question is answered by
 * a {@link StoreException} that says so. For many threads.
 */
final class StoreOnceThere extends LaterStore {

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

  @Override
  synchronized ReadingStore store() {
    ReadingStore open = store;
    if (open == null) {
      open = SqliteReadings.openReadOnly(file);
      store = open;
      LOG.info("the readings store {} is there now", file);
    }
    return open;
  }

  @Override
  public synchronized void close() {
    if (store != null) {
      store.close();
    }
  }
}
