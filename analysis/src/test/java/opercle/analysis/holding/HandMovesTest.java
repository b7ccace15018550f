// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.holding;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmReader;
import opercle.analysis.farm.Tank;
import opercle.analysis.farm.TankThen.Version;
import opercle.analysis.records.Recorded;
import opercle.analysis.records.Records;
import opercle.analysis.records.TankEntry;
import opercle.analysis.records.Withdrawals;
import opercle.analysis.stock.Species;
import org.junit.jupiter.api.Test;

/** Fish taken out of a tank under a withdrawal period and put in elsewhere by hand. */
class HandMovesTest {

  private static final LocalDate DAY = LocalDate.of(2026, 3, 14);

  private final List<Recorded> all = new ArrayList<>();

  private static Version version(String time, double h1, double h2) {
    Farm farm =
        FarmReader.parse(
            "farm",
            """
            farm: Sallowmere
            altitudeM: 40
            tanks:
              - { id: h1, name: Holding 1, kind: holding, waterLitres: 1500, depthM: 0.8,
                  supply: { gas: air, source: blower, diffuser: ceramic, flowLPerMin: 45 } }
              - { id: h2, name: Holding 2, kind: holding, waterLitres: 1500, depthM: 0.8,
                  supply: { gas: air, source: blower, diffuser: ceramic, flowLPerMin: 45 } }
            """);
    return new Version(
        Instant.parse(time),
        new Farm(
            farm.name(),
            farm.altitudeM(),
            List.of(stocked(farm, "h1", h1), stocked(farm, "h2", h2))));
  }

  private static Tank stocked(Farm farm, String id, double kg) {
    Tank tank = farm.tank(id).orElseThrow();
    return kg == 0.0
        ? tank
        : tank.withLoads(
            List.of(new Tank.Load(Species.TENCH, kg, OptionalInt.empty(), Optional.empty())));
  }

  private Records treated() {
    keep(
        "bath-0001",
        new TankEntry.Treatment(
            new TankEntry.Where(
                "h1", Optional.of("Holding 1"), Instant.parse("2026-03-10T08:00:00Z")),
            "a bath",
            "20 mL",
            "fungus",
            Optional.of("as the vet wrote"),
            Optional.of(DAY.plusDays(9)),
            Optional.empty()));
    return Records.of(all);
  }

  private void keep(String id, TankEntry entry) {
    all.add(
        new Recorded(id, all.size() + 1L, entry.where().time(), "Maren", Optional.empty(), entry));
  }

  private static final Version FULL = version("2026-03-13T08:00:00Z", 55.0, 0.0);
  private static final Version OUT = version("2026-03-14T08:00:00Z", 35.0, 0.0);
  private static final Version IN = version("2026-03-14T08:20:00Z", 35.0, 18.0);

  @Test
  void fishTakenOutAndPutInElsewhere_arePerhapsTheSame_andTheWordsGoWithThem() {
    List<TankEntry.Moved> perhaps = HandMoves.of(List.of(FULL, OUT, IN), treated(), DAY);

    assertThat(perhaps).singleElement().satisfies(m -> assertThat(m.to()).isEqualTo("h2"));
    assertThat(perhaps.get(0).title()).isEqualTo("Holding 1: 18 kg of tench moved to Holding 2");
    assertThat(perhaps.get(0).note().orElse("")).startsWith("Perhaps: ");
    assertThat(perhaps.get(0).kg()).isEqualTo(OptionalDouble.of(18.0));
    keep("moved-0001", perhaps.get(0));
    assertThat(Withdrawals.running(Records.of(all), "h2", DAY)).hasSize(1);
  }

  @Test
  void withoutAPeriod_orADayLater_orInOneStep_nothingIsSupposed() {
    Records treated = treated();
    assertThat(HandMoves.of(List.of(FULL, OUT, IN), Records.of(List.of()), DAY)).isEmpty();
    Version late = version("2026-03-15T08:00:01Z", 35.0, 18.0);
    assertThat(HandMoves.of(List.of(FULL, OUT, late), treated, DAY)).isEmpty();
    assertThat(HandMoves.of(List.of(FULL, IN), treated, DAY)).as("one move, said as one").isEmpty();
    assertThat(HandMoves.of(List.of(FULL, OUT), treated, DAY)).isEmpty();
    assertThat(HandMoves.of(List.of(OUT, IN), treated, DAY)).as("nothing was taken out").isEmpty();
  }
}
