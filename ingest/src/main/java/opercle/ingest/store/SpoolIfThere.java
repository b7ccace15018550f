// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.nio.file.Files;
import java.nio.file.Path;
import org.jspecify.annotations.Nullable;

/**
 * InfluxDB, and before it the spool of the process that writes to it, from when that is there: the
 * two may be started in any order. For many threads.
 */
final class SpoolIfThere extends LaterStore {

  private final Path file;
  private final InfluxReadings influx;
  private final boolean isShared;
  private @Nullable ReadingStore both;

  SpoolIfThere(Path file, InfluxReadings influx, boolean isShared) {
    this.file = file;
    this.influx = influx;
    this.isShared = isShared;
  }

  @Override
  synchronized ReadingStore store() {
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
  public synchronized void close() {
    if (both == null) {
      influx.close();
    } else {
      both.close();
    }
  }
}
