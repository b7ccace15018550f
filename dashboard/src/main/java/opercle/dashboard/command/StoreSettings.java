// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.time.Duration;

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
}
