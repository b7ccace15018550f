// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.nio.file.Path;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.io.TempDir;

/** The contract against a real InfluxDB 1.x, empty for each test. */
abstract class InfluxContract extends ReadingStoreContract {

  @TempDir static Path folder;
  static LocalInflux influx;

  @TempDir Path spoolFolder;

  @BeforeAll
  static void startInflux() throws Exception {
    influx = LocalInflux.start(folder);
  }

  @AfterAll
  static void stopInflux() {
    if (influx != null) {
      influx.close();
    }
  }

  static void emptyInflux() throws Exception {
    var unused = influx.query("", "DROP DATABASE " + LocalInflux.DATABASE);
    unused = influx.query("", "CREATE DATABASE " + LocalInflux.DATABASE);
  }
}
