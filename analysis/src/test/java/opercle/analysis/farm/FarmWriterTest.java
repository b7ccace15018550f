// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.farm;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import net.jqwik.api.Arbitraries;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.Combinators;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.Provide;
import opercle.analysis.farm.Tank.Cylinder;
import opercle.analysis.farm.Tank.Diffuser;
import opercle.analysis.farm.Tank.Floors;
import opercle.analysis.farm.Tank.Gas;
import opercle.analysis.farm.Tank.Kind;
import opercle.analysis.farm.Tank.Load;
import opercle.analysis.farm.Tank.Source;
import opercle.analysis.farm.Tank.Supply;
import opercle.analysis.stock.Species;
import org.junit.jupiter.api.Test;

class FarmWriterTest {

  @Property
  void write_anyFarm_readsBackAsAnEqualFarm(@ForAll("farms") Farm farm) {
    assertThat(FarmReader.parse("farm.yaml", FarmWriter.write(farm))).isEqualTo(farm);
  }

  @Test
  void write_farmOfTheContracts_isAsAPersonWouldWriteIt() {
    Farm farm =
        FarmReader.parse(
            "farm.yaml",
            """
            farm: Sallowmere
            altitudeM: 40
            tanks:
              - id: t1
                name: Trailer tank
                kind: transport
                waterLitres: 650
                depthM: 0.7
                supply: { gas: oxygen, source: cylinder, diffuser: ceramic, flowLPerMin: 2.5,
                          cylinder: { waterLitres: 20, fullBar: 200 } }
                load: { species: common-carp, kg: 140, count: 60, since: 2026-03-14T09:00:00Z }
                floors: { keepMgPerL: 6.0, criticalMgPerL: 3.0 }
            """);

    assertThat(FarmWriter.write(farm))
        .isEqualTo(
            """
            farm: Sallowmere
            altitudeM: 40
            tanks:
              - id: t1
                name: Trailer tank
                kind: transport
                waterLitres: 650
                depthM: 0.7
                supply: { gas: oxygen, source: cylinder, diffuser: ceramic, flowLPerMin: 2.5, \
            cylinder: { waterLitres: 20, fullBar: 200 } }
                load:
                  - { species: common-carp, kg: 140, count: 60, since: "2026-03-14T09:00:00Z" }
                floors: { keepMgPerL: 6, criticalMgPerL: 3 }
            """);
  }

  @Provide
  Arbitrary<Farm> farms() {
    return Combinators.combine(
            words(60).map(w -> w.replaceAll("[/+#]", "-")),
            Arbitraries.doubles().between(-400, 5000),
            tank().list().ofMinSize(1).ofMaxSize(5),
            Arbitraries.of(true, false))
        .as(
            (name, altitude, tanks, alike) -> {
              List<Tank> numbered = new ArrayList<>();
              for (int i = 0; i < tanks.size(); i++) {
                Tank t = tanks.get(i);
                numbered.add(
                    new Tank(
                        "t" + i,
                        t.name(),
                        t.kind(),
                        t.waterLitres(),
                        t.depthM(),
                        t.supply(),
                        t.loads(),
                        t.floors(),
                        alike ? tanks.get(0).responseMinutes() : t.responseMinutes()));
              }
              return new Farm(name, altitude, numbered);
            });
  }

  /** Anything that a person may type on one line, quotes and colons and other scripts too. */
  private static Arbitrary<String> words(int longest) {
    Arbitrary<String> odd =
        Arbitraries.strings()
            .withChars("aZ9 \"'\\:#{}[],&*!|>%@`~-?é鯉\u00a0\u2028\uffe5")
            .ofMinLength(1)
            .ofMaxLength(longest);
    Arbitrary<String> telling =
        Arbitraries.of("true", "null", "~", "1e3", "0x1F", "- a", "Holding 1", "no", "a: b", "\"");
    return Arbitraries.oneOf(odd, telling).map(String::strip).filter(w -> !w.isBlank());
  }

  private static Arbitrary<Tank> tank() {
    return Combinators.combine(
            words(200),
            Arbitraries.of(Kind.values()),
            Arbitraries.doubles().between(1, 1_000_000),
            Arbitraries.doubles().between(0.05, 6),
            supply(),
            load().list().ofMaxSize(3).uniqueElements(Load::species),
            floors().optional(),
            Arbitraries.doubles().between(1, 720).optional())
        .as(
            (name, kind, litres, depth, supply, loads, floors, response) ->
                new Tank(
                    "t",
                    name,
                    kind,
                    litres,
                    depth,
                    supply,
                    loads,
                    floors,
                    response.map(OptionalDouble::of).orElse(OptionalDouble.empty())));
  }

  private static Arbitrary<Supply> supply() {
    Arbitrary<Optional<Cylinder>> cylinder =
        Combinators.combine(
                Arbitraries.doubles().between(0.1, 2000), Arbitraries.doubles().between(1, 300))
            .as(Cylinder::new)
            .optional();
    return Combinators.combine(
            Arbitraries.of(Gas.values()),
            Arbitraries.of(Source.values()),
            Arbitraries.of(Diffuser.values()),
            Arbitraries.doubles().between(0, 5000),
            cylinder,
            words(40).optional(),
            Arbitraries.doubles().between(0.5, 60).optional())
        .as(
            (gas, source, diffuser, flow, c, shared, pauses) ->
                new Supply(
                    gas,
                    source,
                    diffuser,
                    flow,
                    source == Source.BLOWER ? Optional.empty() : c,
                    // What a line break would be is not a name of one line.
                    shared.filter(s -> s.matches("[^\\p{Cntrl}]{1,40}")),
                    pauses.map(OptionalDouble::of).orElse(OptionalDouble.empty())));
  }

  private static Arbitrary<Load> load() {
    return Combinators.combine(
            Arbitraries.of(Species.values()),
            Arbitraries.doubles().between(0, 100_000),
            Arbitraries.integers().between(1, 10_000_000).optional(),
            Arbitraries.longs().between(0, 4_000_000_000_000_000L).optional())
        .as(
            (species, kg, count, micros) ->
                new Load(
                    species,
                    kg,
                    count.map(OptionalInt::of).orElse(OptionalInt.empty()),
                    micros.map(m -> Instant.EPOCH.plusNanos(m * 1000))));
  }

  private static Arbitrary<Floors> floors() {
    return Combinators.combine(
            Arbitraries.doubles().between(5, 30), Arbitraries.doubles().between(0.1, 4.9))
        .as(Floors::new);
  }
}
