// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.time.Duration;
import java.time.InstantSource;

/** The store as Opercle uses it: its spool first, then InfluxDB, whatever has been sent by then. */
class SpooledReadingsContractTest extends InfluxContract {

  @Override
  protected ReadingStore emptyStore() throws Exception {
    emptyInflux();
    return SpooledReadings.open(
        influx.settings(),
        new SpooledReadings.Spool(
            spoolFolder.resolve("spool.db"), Duration.ofDays(2), SpooledReadingsTest.ROOM),
        InstantSource.system());
  }
}
