// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.plan;

import static opercle.analysis.plan.LoadPlanTest.easy;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;

import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import opercle.analysis.farm.Tank;
import opercle.analysis.farm.Tank.Diffuser;
import opercle.analysis.farm.Tank.Gas;
import opercle.analysis.plan.LoadPlanRequest.Cylinders;
import opercle.analysis.stock.Batch;
import opercle.analysis.stock.FishLoad;
import opercle.analysis.stock.Species;
import org.junit.jupiter.api.Test;

class LoadPlanRequestTest {

  @Test
  void request_outOfRange_namesFieldValueAndRange() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> easy().temperatureC(50.0).build())
        .withMessage("load plan: temperature 50 °C is outside 0–35 °C");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> easy().temperatureC(30.0).riseC(10.0).build())
        .withMessageContaining("temperature plus rise");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> easy().waterLitres(0.0).build())
        .withMessage("load plan: water 0 L is outside 1–1000000 L");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> easy().minutes(Double.NaN).build())
        .withMessageContaining("minutes");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> easy().load(FishLoad.of(Batch.ofKg(Species.TENCH, 0.0))).build())
        .withMessageContaining("load plan: load 0 kg");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Cylinders.one(10.0, 400.0))
        .withMessage("load plan: cylinder 400 bar is outside 0–300 bar");
  }

  @Test
  void request_ofATank_takesItsFishItsSupplyAndItsCylinder() {
    Tank tank =
        new Tank(
            "t1",
            "Trailer tank",
            Tank.Kind.TRANSPORT,
            650.0,
            0.6,
            new Tank.Supply(
                Gas.OXYGEN,
                Tank.Source.CYLINDER,
                Diffuser.CERAMIC,
                2.5,
                Optional.of(new Tank.Cylinder(20.0, 200.0))),
            List.of(
                new Tank.Load(Species.COMMON_CARP, 140.0, OptionalInt.of(60), Optional.empty()),
                new Tank.Load(Species.TENCH, 10.0, OptionalInt.empty(), Optional.empty())),
            Optional.empty());

    LoadPlanRequest request = LoadPlanRequest.of(tank).temperatureC(12.0).minutes(90.0).build();

    assertThat(request.load())
        .isEqualTo(
            FishLoad.of(Batch.of(Species.COMMON_CARP, 140.0, 60), Batch.ofKg(Species.TENCH, 10.0)));
    assertThat(request.waterLitres()).isEqualTo(650.0);
    assertThat(request.depthM()).isEqualTo(0.6);
    assertThat(request.flowLPerMin()).hasValue(2.5);
    assertThat(request.cylinders()).contains(Cylinders.one(20.0, 200.0));
  }
}
