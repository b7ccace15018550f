// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.book.FarmRecords;
import opercle.analysis.book.TripRecords;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.analysis.records.Entry;
import opercle.analysis.stock.Fish;
import opercle.analysis.trip.TripEntry.Loaded;
import opercle.analysis.trip.TripEntry.StopCheck;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What is told of a tank and of a trip with it is one deed. */
class TripMarksTest {

  @TempDir Path folder;
  private KeptAlarms kept;
  private TripRecords trips;

  @BeforeEach
  void open() {
    kept = KeptAlarms.in(folder);
    trips = new TripRecords(kept.book(), "Sallowmere");
  }

  @AfterEach
  void close() {
    kept.close();
  }

  private List<String> kinds() {
    Instant now = FakeFarm.NIGHT;
    Span day = new Span(now.minus(Duration.ofDays(1)), now.plusSeconds(1));
    return new TankDeeds(kept.past(), "t1", day, now)
        .all().orElseThrow().stream().map(TankDeed::kind).toList();
  }

  private static Farm with(Farm farm, List<Tank.Load> loads) {
    return new Farm(
        farm.name(),
        farm.altitudeM(),
        farm.tanks().stream().map(t -> t.id().equals("t1") ? t.withLoads(loads) : t).toList());
  }

  @Test
  void fishThatArePutIn_andThenATripBegunWithThem_areOneMark() {
    Loaded loaded = KeptTrips.underWay("under-way");
    FarmRecords versions = new FarmRecords(kept.book());
    Farm farm = FakeFarm.quiet().farm();
    versions.add(with(farm, List.of()), DoneAtTanks.hoursAgo(900), "farm.yaml", List.of());
    Instant putIn = loaded.time().minusSeconds(300);
    List<Tank.Load> load =
        loaded.trip().load().stream()
            .map(l -> new Tank.Load(l.species(), l.kg(), l.count(), Optional.of(putIn)))
            .toList();
    versions.add(with(farm, load), putIn, "Maren", List.of("Trailer: fish"));
    assertThat(kinds()).containsExactly("fish-added");

    trips.begin(loaded);
    assertThat(kinds()).containsExactly("loaded");

    versions.add(with(farm, List.of()), loaded.time().plusSeconds(600), "Maren", List.of("Fish"));
    assertThat(kinds()).containsExactly("loaded", "fish-removed");
  }

  @Test
  void checkByHandThatATripsFileBrings_isOneMark() {
    Instant time = FakeFarm.NIGHT.minusSeconds(1200);
    new DoneAtTanks(kept.book())
        .writeAtOnce("check-0001", Entry.Kind.HAND_CHECK, "t1", time, Map.of("fish", "restless"));
    trips.begin(KeptTrips.underWay("under-way"));
    trips.add(
        "under-way",
        new StopCheck(
            "check-0001",
            time,
            "Maren",
            Optional.empty(),
            Fish.RESTLESS,
            OptionalDouble.empty(),
            OptionalDouble.empty(),
            OptionalDouble.empty(),
            ""));

    assertThat(kinds()).containsExactly("loaded", "hand-check");
  }
}
