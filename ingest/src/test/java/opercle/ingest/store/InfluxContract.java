// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.nio.file.Path;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.io.TempDir;

/** The contract against a real InfluxDB 1.x, empty for each test. */
abstract class InfluxContract extends ReadingStoreContract {

  @TempDir static Path folder;

  @SuppressWarnings("NullAway.Init") // by the first test
  static LocalInflux influx;

  @TempDir Path spoolFolder;

  @AfterAll
  @SuppressWarnings("NullAway")
  static void stopInflux() {
    if (influx != null) {
      influx.close();
      influx = null;
    }
  }

  /** Starts it for the first test, and empties it for each. */
  static void emptyInflux() throws Exception {
    if (influx == null) {
      influx = LocalInflux.start(folder);
    }
    var unused = influx.query("", "DROP DATABASE " + LocalInflux.DATABASE);
    unused = influx.query("", "CREATE DATABASE " + LocalInflux.DATABASE);
  }
}
