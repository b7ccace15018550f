// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.nio.file.Path;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.UUID;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.RecordBook;
import opercle.analysis.plan.LoadPlan;
import opercle.analysis.plan.LoadPlanRequest;
import opercle.analysis.records.TankEntry;
import opercle.analysis.trip.Trip;
import opercle.analysis.trip.TripPlan;
import opercle.analysis.tripfile.StartForm;
import opercle.analysis.water.AirPressure;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class TripStartTest {

  private final FakeFarm farm = FakeFarm.quiet();

  @TempDir Path folder;

  private Trip begun(RecordBook work, OptionalDouble cylinderBar) {
    ObjectNode form = new ObjectMapper().createObjectNode();
    form.put("id", "a").put("time", FakeFarm.NIGHT.toString()).put("by", "Maren").put("tank", "t1");
    form.put("from", "").put("to", "").put("expectedMinutes", 90).put("temperatureC", 11.0);
    cylinderBar.ifPresent(bar -> form.put("cylinderBar", bar));
    return new TripStart(farm, ZoneOffset.UTC, () -> Optional.of(work), Optional::empty)
        .loaded(StartForm.read(form, farm.farm()), Optional.empty(), List::of)
        .trip();
  }

  /** What the plan's own page would say of that tank, filled in from it. */
  private LoadPlanRequest.Builder byHand() {
    return LoadPlanRequest.of(farm.farm().tank("t1").orElseThrow())
        .temperatureC(11.0)
        .minutes(90.0)
        .pressureKPa(AirPressure.atAltitudeKPa(farm.farm().altitudeM()));
  }

  @Test
  void plan_isThatOfTheTanksSetUp_withItsFlowAndItsReserve() {
    try (FarmBook book = FarmBook.open(folder.resolve("book.db"))) {
      Trip trip = begun(new RecordBook(book, "Sallowmere"), OptionalDouble.empty());

      assertThat(trip.plan()).contains(TripPlan.of(LoadPlan.of(byHand().build())));
      assertThat(trip.plan().orElseThrow().flowLPerMin())
          .isEqualTo(OptionalDouble.of(trip.tank().supply().flowLPerMin()));
    }
  }

  @Test
  void saltThatWasWrittenDownAtTheTank_isInThePlan() {
    try (FarmBook book = FarmBook.open(folder.resolve("book.db"))) {
      RecordBook work = new RecordBook(book, "Sallowmere");
      RecordBook.Outcome kept =
          work.keep(
              UUID.randomUUID().toString(),
              "Tove",
              FakeFarm.NIGHT,
              Optional.empty(),
              new TankEntry.Salt(
                  new TankEntry.Where("t1", Optional.empty(), FakeFarm.NIGHT.minusSeconds(600)),
                  6.5,
                  Optional.empty()));
      assertThat(kept).isInstanceOf(RecordBook.Outcome.Kept.class);

      Trip trip = begun(work, OptionalDouble.of(120.0));

      double salt = trip.tank().saltGPerKg();
      assertThat(salt).isBetween(9.0, 11.0); // 6.5 kg in 650 L
      assertThat(trip.plan())
          .contains(TripPlan.of(LoadPlan.of(byHand().saltGPerKg(salt).build())))
          .isNotEqualTo(Optional.of(TripPlan.of(LoadPlan.of(byHand().build()))));
    }
  }
}
