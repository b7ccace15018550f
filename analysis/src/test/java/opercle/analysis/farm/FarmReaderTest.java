// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.farm;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.OptionalInt;
import opercle.analysis.stock.Species;
import opercle.ingest.settings.Problem;
import opercle.ingest.settings.UnusableInputException;
import org.assertj.core.api.InstanceOfAssertFactories;
import org.junit.jupiter.api.Test;

class FarmReaderTest {

  private static final String SALLOWMERE =
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
          load: { species: tench, kg: 55, count: 70, since: 2026-03-02T17:00:00Z }
        - id: t1
          name: Trailer tank
          kind: transport
          waterLitres: 650
          depthM: 0.7
          supply: { gas: oxygen, source: cylinder, diffuser: ceramic, flowLPerMin: 2.5,
                    cylinder: { waterLitres: 20, fullBar: 200 } }
          load: { species: common-carp, kg: 140, count: 60, since: 2026-03-14T09:00:00Z }
          floors: { keepMgPerL: 6.0, criticalMgPerL: 3.0 }
      """;

  @Test
  void contractExample_isReadWhole() {
    Farm farm = FarmReader.parse("farm.yaml", SALLOWMERE);

    assertThat(farm.name()).isEqualTo("Sallowmere");
    assertThat(farm.altitudeM()).isEqualTo(40.0);
    Tank h1 = farm.tank("h1").orElseThrow();
    assertThat(h1.kind()).isEqualTo(Tank.Kind.HOLDING);
    assertThat(h1.supply().diffuser()).isEqualTo(Tank.Diffuser.POROUS_HOSE);
    assertThat(h1.loads())
        .singleElement()
        .satisfies(
            l -> {
              assertThat(l.species()).isEqualTo(Species.TENCH);
              assertThat(l.count()).isEqualTo(OptionalInt.of(70));
              assertThat(l.since()).contains(Instant.parse("2026-03-02T17:00:00Z"));
            });
    Tank t1 = farm.tank("t1").orElseThrow();
    assertThat(t1.supply().cylinder()).contains(new Tank.Cylinder(20, 200));
    assertThat(t1.floorsInForce()).isEqualTo(new Tank.Floors(6.0, 3.0));
  }

  @Test
  void responseMinutes_areTheTanksOwn_orTheFarms_orNotSaid() {
    Farm farm =
        FarmReader.parse(
            "farm.yaml",
            SALLOWMERE
                .replace("altitudeM: 40", "altitudeM: 40\nresponseMinutes: 12")
                .replace("depthM: 0.7", "depthM: 0.7\n    responseMinutes: 3"));

    assertThat(farm.tank("h1").orElseThrow().responseMinutes()).hasValue(12.0);
    assertThat(farm.tank("t1").orElseThrow().responseMinutes()).hasValue(3.0);
    assertThat(FarmReader.parse("farm.yaml", SALLOWMERE).tank("h1").orElseThrow().responseMinutes())
        .isEmpty();
  }

  @Test
  void pausesMinutes_areRead_andOutsideTheirRange_areOneError() {
    String timed = "diffuser: porous-hose, pausesMinutes: %s";
    Farm farm =
        FarmReader.parse(
            "farm.yaml", SALLOWMERE.replace("diffuser: porous-hose", timed.formatted("2.5")));

    assertThat(farm.tank("h1").orElseThrow().supply().pausesMinutes()).hasValue(2.5);
    assertThat(farm.tank("t1").orElseThrow().supply().pausesMinutes()).isEmpty();
    for (String wrong : List.of("0.4", "61", "0")) {
      assertThatThrownBy(
              () ->
                  FarmReader.parse(
                      "farm.yaml",
                      SALLOWMERE.replace("diffuser: porous-hose", timed.formatted(wrong))))
          .asInstanceOf(InstanceOfAssertFactories.type(UnusableInputException.class))
          .extracting(e -> e.problems().stream().map(Problem::toString).toList())
          .asInstanceOf(InstanceOfAssertFactories.list(String.class))
          .singleElement()
          .asString()
          .contains("farm.yaml:9: tanks[0].supply.pausesMinutes")
          .contains(wrong)
          .contains("0.5")
          .contains("60")
          .contains("min");
    }
  }

  @Test
  void mixedLoad_isAList() {
    Farm farm =
        FarmReader.parse(
            "farm.yaml",
            SALLOWMERE.replace(
                "load: { species: tench, kg: 55, count: 70, since: 2026-03-02T17:00:00Z }",
                "load: [{ species: tench, kg: 30 }, { species: rainbow-trout, kg: 10 }]"));

    Tank h1 = farm.tank("h1").orElseThrow();
    assertThat(h1.loadKg()).isEqualTo(40.0);
    assertThat(h1.floorsInForce().keepMgPerL())
        .isEqualTo(Species.RAINBOW_TROUT.keepFloorMgPerL()); // the strictest species'
  }

  @Test
  void everyProblem_isToldAtOnceWithFileLineKeyAndValue() {
    String broken =
        SALLOWMERE
            .replace("waterLitres: 1500", "waterLitres: lots")
            .replace("gas: air", "gas: steam")
            .replace("  name: Trailer tank", "  nmae: Trailer tank")
            .replace("species: common-carp", "species: comon-carp")
            .replace("criticalMgPerL: 3.0", "criticalMgPerL: 7.0");

    assertThatThrownBy(() -> FarmReader.parse("farm.yaml", broken))
        .asInstanceOf(InstanceOfAssertFactories.type(UnusableInputException.class))
        .extracting(e -> e.problems().stream().map(Problem::toString).toList())
        .asInstanceOf(InstanceOfAssertFactories.list(String.class))
        .satisfiesExactly(
            l ->
                assertThat(l)
                    .isEqualTo("farm.yaml:7: tanks[0].waterLitres: \"lots\" is not a number of L"),
            l ->
                assertThat(l)
                    .isEqualTo(
                        "farm.yaml:9: tanks[0].supply.gas: \"steam\" is not one of air, oxygen"),
            l ->
                assertThat(l)
                    .isEqualTo("farm.yaml:12: tanks[1].nmae: unknown key (did you mean name?)"),
            l ->
                assertThat(l)
                    .startsWith("farm.yaml:18: tanks[1].load.species: \"comon-carp\"")
                    .contains("did you mean common-carp?"),
            l ->
                assertThat(l)
                    .startsWith(
                        "farm.yaml:19: tanks[1].floors.criticalMgPerL: 7.0 mg/L must be below"));
  }

  @Test
  void twoTanksOfOneId_areRefused() {
    assertThatThrownBy(() -> FarmReader.parse("farm.yaml", SALLOWMERE.replace("id: t1", "id: h1")))
        .hasMessage("farm.yaml:11: tanks[1].id: \"h1\" is used by two tanks");
  }

  @Test
  void speciesGivenTwiceInOneTank_isJoined_andTogetherWithinTheLimits() {
    String twice =
        """
        farm: Sallowmere
        tanks:
          - id: h1
            kind: holding
            waterLitres: 1500
            supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }
            load:
              - { species: roach, kg: 20, count: 200, since: 2026-03-02T17:00:00Z }
              - { species: roach, kg: 60000, count: 5000000 }
        """;
    Tank tank = FarmReader.parse("farm.yaml", twice).tanks().get(0);
    assertThat(tank.loads()).hasSize(1);
    assertThat(tank.loads().get(0).count()).hasValue(5_000_200);
    assertThat(tank.loadKg()).isEqualTo(60_020.0);

    assertThatThrownBy(() -> FarmReader.parse("farm.yaml", twice.replace("kg: 20,", "kg: 60000,")))
        .hasMessage(
            "farm.yaml:8: tanks[0].load: the roach come to 120000.0 kg and 5000200 fish together,"
                + " allowed are 100000 kg and 10000000 fish");
  }

  private static String holding(String... loads) {
    return """
        farm: Sallowmere
        tanks:
          - id: h1
            kind: holding
            waterLitres: 1500
            supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }
            load:
        """
        + String.join("\n", loads);
  }

  @Test
  void speciesGivenTwice_onceWithoutANumber_isRefused_butReadWhereItWasInForce() {
    String twice =
        holding(
            "      - { species: common-carp, kg: 20, count: 2000 }",
            "      - { species: common-carp, kg: 20 }");

    assertThatThrownBy(() -> FarmReader.parse("farm.yaml", twice))
        .hasMessage(
            "farm.yaml:8: tanks[0].load: the common-carp are given twice, once without a number:"
                + " say the number of both");
    assertThat(FarmReader.inForce("version 3", twice).tanks().get(0).loads())
        .extracting(Tank.Load::count)
        .containsExactly(OptionalInt.of(4000));
  }

  @Test
  void everySpeciesOverTheLimit_isToldAtOnce() {
    String twice =
        holding(
            "      - { species: tench, kg: 60000 }",
            "      - { species: roach, kg: 60000 }",
            "      - { species: roach, kg: 60000 }",
            "      - { species: tench, kg: 60000 }",
            "      - { species: common-carp, kg: 20 }",
            "      - { species: common-carp, kg: 20, count: 2000 }");

    assertThatThrownBy(() -> FarmReader.parse("farm.yaml", twice))
        .asInstanceOf(InstanceOfAssertFactories.type(UnusableInputException.class))
        .extracting(e -> e.problems().stream().map(Problem::toString).toList())
        .asInstanceOf(InstanceOfAssertFactories.list(String.class))
        .hasSize(3)
        .anyMatch(l -> l.contains("the tench come to 120000.0 kg"))
        .anyMatch(l -> l.contains("the roach come to 120000.0 kg"))
        .anyMatch(l -> l.contains("the common-carp are given twice"));
  }

  @Test
  void farmWithoutATank_isRefused() {
    assertThatThrownBy(() -> FarmReader.parse("farm.yaml", "farm: Sallowmere\ntanks: []\n"))
        .hasMessage("farm.yaml:2: tanks: must hold at least one tank");
  }

  @Test
  void idThatIsNoTopicLevel_isRefused() {
    assertThatThrownBy(() -> FarmReader.parse("farm.yaml", SALLOWMERE.replace("id: t1", "id: t/1")))
        .hasMessageContaining("tanks[1].id: \"t/1\" must be lower-case letters");
  }

  @Test
  void missingFile_isSaidInWords() {
    assertThatThrownBy(() -> FarmReader.read(Path.of("no-such-farm.yaml")))
        .hasMessage("no-such-farm.yaml: there is no such file");
  }

  @Test
  void whatIsSaidOfHolding_holdsForEveryTankWithoutItsOwn_andComesBack() {
    Farm farm =
        FarmReader.parse(
            "farm.yaml",
            """
            farm: Sallowmere
            holding: { days: 20, daysBySpecies: { perch: 5 } }
            tanks:
              - { id: h1, kind: holding, waterLitres: 1500,
                  supply: { gas: air, source: blower, diffuser: air-stone, flowLPerMin: 45 } }
              - { id: h2, kind: holding, waterLitres: 1500,
                  supply: { gas: air, source: blower, diffuser: air-stone, flowLPerMin: 45 },
                  holding: { days: 3.5, freshLPerHour: 40, ph: 7.4, alkalinityMgPerL: 120 } }
            """);

    assertThat(farm.tanks().get(0).holding().days()).hasValue(20.0);
    assertThat(farm.tanks().get(0).holding().daysBySpecies()).containsEntry(Species.PERCH, 5.0);
    assertThat(farm.tanks().get(1).holding().days()).hasValue(3.5);
    assertThat(farm.tanks().get(1).holding().daysBySpecies()).isEmpty();
    assertThat(FarmReader.parse("farm.yaml", FarmWriter.write(farm))).isEqualTo(farm);
  }

  @Test
  void aSpeciesOrAPhThatCannotBe_isToldWithItsLimits() {
    assertThatThrownBy(
            () ->
                FarmReader.parse(
                    "farm.yaml",
                    """
                    farm: Sallowmere
                    tanks:
                      - { id: h1, kind: holding, waterLitres: 1500,
                          supply: { gas: air, source: blower, diffuser: air-stone, flowLPerMin: 45 },
                          holding: { daysBySpecies: { perhc: 5 }, ph: 74 } }
                    """))
        .hasMessageContaining("perhc")
        .hasMessageContaining("perch")
        .hasMessageContaining("ph");
  }
}
