// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.farm;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import opercle.analysis.farm.Tank.Load;
import opercle.analysis.stock.Species;
import org.junit.jupiter.api.Test;

/** Which fish were in a tank over a night that is past. */
class TankThenTest {

  private static final Instant DUSK = Instant.parse("2026-03-13T19:00:00Z");
  private static final Instant DAWN = Instant.parse("2026-03-14T07:00:00Z");

  private static TankThen.Version version(String since, Load... loads) {
    Tank tank =
        FarmReader.parse(
                "farm",
                """
                farm: Sallowmere
                altitudeM: 40
                tanks:
                  - id: h1
                    name: Holding 1
                    kind: holding
                    waterLitres: 1500
                    depthM: 0.8
                    supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }
                """)
            .tank("h1")
            .orElseThrow()
            .withLoads(List.of(loads));
    return new TankThen.Version(Instant.parse(since), new Farm("Sallowmere", 40.0, List.of(tank)));
  }

  private static Load tench(double kg) {
    return new Load(Species.TENCH, kg, OptionalInt.empty(), Optional.empty());
  }

  private static TankThen then(TankThen.Version... versions) {
    return TankThen.of(List.of(versions), "h1", DUSK, DAWN);
  }

  @Test
  void load_isThatOfTheVersionInForce_notTodays() {
    TankThen then =
        then(
            version("2026-03-01T08:00:00Z", tench(20.0)),
            version("2026-03-10T08:00:00Z", tench(55.0)),
            version("2026-03-14T09:00:00Z", tench(5.0)));

    assertThat(then.tank().orElseThrow().loadKg()).isEqualTo(55.0);
    assertThat(then.changed()).isEmpty();
  }

  @Test
  void loadThatBecomesAnotherInTheNight_isTold_aFewDeadAreNot() {
    TankThen.Version before = version("2026-03-10T08:00:00Z", tench(55.0));

    TankThen less = then(before, version("2026-03-13T22:10:00Z", tench(40.0)));
    assertThat(less.changed()).contains(Instant.parse("2026-03-13T22:10:00Z"));
    assertThat(less.next().orElseThrow().loadKg()).isEqualTo(40.0);
    assertThat(then(before, version("2026-03-13T22:10:00Z", tench(52.5))).changed()).isEmpty();
    assertThat(then(before, version("2026-03-14T07:00:01Z", tench(5.0))).changed()).isEmpty();
    Load roach = new Load(Species.ROACH, 55.0, OptionalInt.empty(), Optional.empty());
    assertThat(then(before, version("2026-03-13T22:10:00Z", roach)).changed()).isPresent();
  }

  @Test
  void beforeTheBooks_itIsKnownOnlyOfFishThatAreThereSinceThen() {
    Load since =
        new Load(
            Species.TENCH,
            55.0,
            OptionalInt.of(70),
            Optional.of(Instant.parse("2026-03-02T17:00:00Z")));

    assertThat(then(version("2026-03-14T09:00:00Z", since)).tank()).isPresent();
    Load others = new Load(Species.ROACH, 3.0, OptionalInt.empty(), Optional.empty());
    TankThen unknown = then(version("2026-03-14T09:00:00Z", since, others));
    assertThat(unknown.tank()).isEmpty();
    assertThat(unknown.known()).contains(Instant.parse("2026-03-14T09:00:00Z"));
    assertThat(then(version("2026-03-14T09:00:00Z")).tank()).as("empty since when?").isEmpty();
  }

  @Test
  void tankThatWasEmpty_isThere_andEmpty() {
    TankThen then =
        then(version("2026-03-10T08:00:00Z"), version("2026-03-13T22:10:00Z", tench(40.0)));

    assertThat(then.tank().orElseThrow().isStocked()).isFalse();
    assertThat(TankThen.of(List.of(), "h1", DUSK, DAWN).tank()).isEmpty();
  }
}
