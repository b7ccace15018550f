// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static opercle.dashboard.web.DoneAtTanks.hoursAgo;
import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.concurrent.atomic.AtomicReference;
import opercle.analysis.book.FarmRecords;
import opercle.analysis.book.RecordBook;
import opercle.analysis.book.TripRecords;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Stocking;
import opercle.analysis.farm.Tank;
import opercle.analysis.setup.FarmDesk;
import opercle.analysis.setup.TripDoor;
import opercle.analysis.stock.Fish;
import opercle.analysis.stock.Species;
import opercle.analysis.trip.TripEntry;
import opercle.analysis.trip.TripEntry.Loaded;
import opercle.analysis.watch.TankEvent;
import org.junit.jupiter.api.Test;

/** What the traces of a trip's tank are marked with, as a program sees it. */
class TripDeedsTest extends MarkedTank {

  @Test
  void trip_isMarkedWithItsLoadingChecksAndUnloading_writtenDownAfterwards() throws Exception {
    FarmRecords versions = new FarmRecords(kept.book());
    Farm farm = FakeFarm.quiet().farm();
    versions.add(farm, hoursAgo(40 * 24), "farm.yaml", List.of());
    TripRecords trips = new TripRecords(kept.book(), "Sallowmere");
    trips.begin(KeptTrips.underWay("under-way"));
    Instant loaded = FakeFarm.NIGHT.minus(Duration.ofMinutes(40));
    trips.add(
        "under-way",
        new TripEntry.StopCheck(
            "check-1",
            loaded.plusSeconds(600),
            "Tove",
            Optional.empty(),
            Fish.RESTLESS,
            OptionalDouble.of(9.04),
            OptionalDouble.empty(),
            OptionalDouble.of(2.5),
            ""));
    trips.add(
        "under-way",
        new TripEntry.Unloaded(
            "out-1",
            loaded.plusSeconds(1800),
            "Maren",
            Optional.empty(),
            List.of(
                new TripEntry.Loss(Species.COMMON_CARP, OptionalInt.of(2), OptionalDouble.of(4.4))),
            OptionalDouble.of(120.0),
            ""));
    followed("out-1", with(farm, "t1", List.of()), FakeFarm.NIGHT.minusSeconds(30));
    done.press("t1", TankEvent.Kind.FISH_REMOVED, FakeFarm.NIGHT.minusSeconds(30), "Maren");

    assertThat(words("t1"))
        .satisfiesExactly(
            in -> assertThat(in).matches("Loaded .* kg of .* at Holding 2, for Long Pool"),
            check ->
                assertThat(check)
                    .isEqualTo(
                        "Checked at a stop: restless, oxygen 9.0 mg/L, gas left at 2.5 L/min"),
            out ->
                assertThat(out)
                    .isEqualTo(
                        "Unloaded at Long Pool, did not live: 2 common carp (4.4 kg), cylinder 120"
                            + " bar"));
    assertThat(events("t1", 24))
        .extracting(d -> d.path("kind").asText())
        .containsExactly("loaded", "stop-check", "unloaded");
    assertThat(events("t1", 24).get(2).path("time").asText())
        .isEqualTo(loaded.plusSeconds(1800).toString().replace("Z", ".000Z"));

    trips.add(
        "under-way", new TripEntry.Withdrawn("gone-1", FakeFarm.NIGHT, "Maren", "another tank"));
    assertThat(events("t1", 24))
        .as("of a withdrawn trip nothing counts, but the fish are out")
        .extracting(d -> d.path("kind").asText())
        .containsExactly("fish-removed");

    followed("gone-1", farm, FakeFarm.NIGHT.minusSeconds(10));
    assertThat(events("t1", 24)).as("and somebody has said that they are in").isEmpty();
  }

  /** What the tank's record says by an entry of the trip. */
  private void followed(String entry, Farm farm, Instant time) {
    var unused =
        new FarmRecords(kept.book())
            .add(
                farm,
                time,
                "Maren",
                List.of("Trailer: fish"),
                () ->
                    new TripRecords(kept.book(), "Sallowmere")
                        .tanks()
                        .keep("under-way", entry, true, time, "Maren"));
  }

  @Test
  void whatIsTakenOutByHandAfterAnUnloading_isMarked_alsoWhereTheSpanBeginsBetween()
      throws Exception {
    Farm farm = FakeFarm.quiet().farm();
    AtomicReference<Instant> clock = new AtomicReference<>(hoursAgo(40 * 24));
    FarmRecords versions = new FarmRecords(kept.book());
    FarmDesk desk = FarmDesk.open(versions, farm, "farm.yaml", clock::get);
    TripRecords trips = new TripRecords(kept.book(), "Sallowmere");
    TripDoor door =
        new TripDoor(trips, desk, versions, new RecordBook(kept.book(), "Sallowmere"), clock::get);
    Loaded loaded = KeptTrips.underWay("under-way");
    trips.begin(loaded);
    clock.set(loaded.time().plusSeconds(60));
    List<Tank.Load> more = Stocking.with(loaded.trip().load(), tench(10.0, loaded.time()));
    door.add(
        "under-way",
        new Loaded(
            "in-2",
            loaded.time(),
            "Maren",
            Optional.of(loaded.id()),
            loaded.trip().withLoad(more)));
    clock.set(loaded.time().plusSeconds(1300));
    door.add(
        "under-way",
        new TripEntry.Unloaded(
            "out-1",
            loaded.time().plusSeconds(1200),
            "Maren",
            Optional.empty(),
            List.of(),
            OptionalDouble.empty(),
            ""));
    byHand(
        desk,
        clock,
        loaded.time().plusSeconds(1800),
        List.of(tench(5.0, Objects.requireNonNull(clock.get()))));
    byHand(desk, clock, loaded.time().plusSeconds(2100), List.of());

    assertThat(events("t1", 24))
        .extracting(d -> d.path("kind").asText())
        .as("a loading that is put right puts no fish in")
        .containsExactly("loaded", "unloaded", "fish-added", "fish-removed");
    assertThat(words("t1")).endsWith("5 kg of tench taken out");
    assertThat(events("t1", 1.0 / 6.0))
        .singleElement()
        .satisfies(
            out -> assertThat(out.path("words").asText()).isEqualTo("5 kg of tench taken out"));
  }

  private static void byHand(
      FarmDesk desk, AtomicReference<Instant> clock, Instant time, List<Tank.Load> loads) {
    clock.set(time);
    var unused = desk.change(OptionalLong.empty(), "Maren", farm -> with(farm, "t1", loads));
  }
}
