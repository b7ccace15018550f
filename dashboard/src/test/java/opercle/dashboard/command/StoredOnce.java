// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.io.IOException;
import java.util.BitSet;
import opercle.ingest.store.LocalInflux;

/** Holds what an InfluxDB has of the steady probes' readings against what was acknowledged. */
final class StoredOnce {

  private final LocalInflux influx;
  private final SteadyProbes probes;

  StoredOnce(LocalInflux influx, SteadyProbes probes) {
    this.influx = influx;
    this.probes = probes;
  }

  /** How many that were acknowledged are not there. */
  int missing() {
    try {
      BitSet missing = probes.acknowledgedNumbers();
      for (int tank = 0; tank < SteadyProbes.TANKS; tank++) {
        for (long time : influx.times("opercle_reading", "\"tank\" = 'h%d'".formatted(tank))) {
          missing.clear(probes.numberOf(tank, time));
        }
      }
      return missing.cardinality();
    } catch (IOException e) {
      return Integer.MAX_VALUE; // does not answer yet
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new IllegalStateException(e);
    }
  }

  long points() throws IOException, InterruptedException {
    return influx.points("opercle_reading");
  }

  /** The readings that the minutes were made of. */
  long countedInMinutes() {
    try {
      return influx.countedInMinutes("");
    } catch (IOException e) {
      return 0; // does not answer yet
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new IllegalStateException(e);
    }
  }
}
