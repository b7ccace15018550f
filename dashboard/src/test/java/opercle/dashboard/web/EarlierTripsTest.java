// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import java.nio.file.Path;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import opercle.analysis.trip.TripEntry.Loaded;
import opercle.analysis.trip.TripLog;
import opercle.analysis.tripfile.TripFile;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The list of trips, a page at a time. */
class EarlierTripsTest {

  @TempDir Path folder;

  private static TripFile loadedAt(String id, Instant time) {
    Loaded loaded = KeptTrips.underWay(id);
    TripLog log =
        TripLog.of(new Loaded(loaded.id(), time, loaded.by(), Optional.empty(), loaded.trip()));
    return new TripFile(ServedTrips.FARM, log, List.of(), List.of(), List.of());
  }

  /** Of three that were loaded within a millisecond, which is as fine as the list tells a time. */
  @Test
  void noTripOnTheBorderOfAPage_isSkipped_orStandsTwice() throws Exception {
    Instant time = FakeFarm.NIGHT.minusSeconds(3600);
    try (ServedTrips served = new ServedTrips(folder)) {
      served.trips.take(loadedAt("a", time));
      served.trips.take(loadedAt("b", time));
      served.trips.take(loadedAt("c", time.plus(300, ChronoUnit.MICROS)));
      served.trips.take(loadedAt("d", time.minusSeconds(60)));
      served.serve();

      List<String> seen = new ArrayList<>();
      JsonNode page = served.get("/api/v1/trips?most=1");
      seen.add(page.at("/trips/0/id").asText());
      while (page.path("more").asBoolean() && seen.size() < 9) {
        page = served.get("/api/v1/trips?most=1&after=" + seen.get(seen.size() - 1));
        seen.add(page.at("/trips/0/id").asText());
      }

      assertThat(seen).containsExactly("c", "a", "b", "d");
    }
  }
}
