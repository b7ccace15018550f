// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.time.Duration;
import opercle.ingest.store.InfluxSettings;

/** Where readings are kept, and for how long. */
sealed interface StoreSettings {

  /**
   * A SQLite file in the data folder.
   *
   * @param keepReadings how long readings are kept; zero: for ever
   * @param keepMinutes how long each minute's least, most and mean are kept; zero: for ever, else
   *     no shorter than the readings
   */
  record Sqlite(Duration keepReadings, Duration keepMinutes) implements StoreSettings {}

  /**
   * An InfluxDB, behind a spool in the data folder; how long it keeps readings is its own setting.
   *
   * @param influx how to reach it
   * @param keepHere for how long readings that it has stay in the spool as well
   * @param mostSpoolBytes how large the spool may grow while it is away
   */
  record Influx(InfluxSettings influx, Duration keepHere, long mostSpoolBytes)
      implements StoreSettings {}
}
