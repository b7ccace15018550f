// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import opercle.dashboard.command.OpercleProcess.Outcome;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Exit codes, standard output and standard error of the packed jar. */
class CommandLineIT {

  private static final String FARM =
      """
      farm: Sallowmere
      tanks:
        - id: h1
          kind: holding
          waterLitres: 1500
          supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }
          load: { species: tench, kg: 55, count: 70 }
      """;

  @TempDir Path folder;

  private Outcome run(String... arguments) throws IOException, InterruptedException {
    return OpercleProcess.run(folder, arguments);
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "demo",
        "serve",
        "ingest",
        "analyse",
        "dashboard",
        "simulate",
        "replay",
        "plan",
        "water",
        "assess"
      })
  void everyCommand_hasHelp(String command) throws Exception {
    Outcome outcome = run(command, "--help");

    assertThat(outcome.exitCode()).isZero();
    assertThat(outcome.out()).contains("Usage: opercle " + command);
    assertThat(outcome.err()).isEmpty();
  }

  /** Standard Methods 4500-O, fresh water at 1 atm, to the printed 0.01 mg/L. */
  @ParameterizedTest
  @CsvSource({"5, 12.77", "10, 11.29", "15, 10.08", "20, 9.09", "25, 8.26"})
  void water_agreesWithThePublishedTable(String temperatureC, double mgPerL) throws Exception {
    Outcome outcome = run("water", "--temperature", temperatureC, "--json");

    assertThat(outcome.exitCode()).isZero();
    JsonNode water = new ObjectMapper().readTree(outcome.out());
    assertThat(water.path("saturationMgPerL").asDouble())
        .isCloseTo(mgPerL, org.assertj.core.api.Assertions.within(0.01));
  }

  @Test
  void replay_traceWithBrokenRows_goesOn_andStandardOutputHoldsOnlyJson() throws Exception {
    Files.writeString(folder.resolve("farm.yaml"), FARM);
    Files.writeString(
        folder.resolve("trip.csv"),
        """
        time,tank,quantity,value
        2026-03-14T02:00:00Z,h1,oxygen,9.0
        2026-03-14T02:00:05Z,h1,oxygen,nine
        2026-03-14T02:00:10Z,h7,oxygen,9.0
        2026-03-14T02:00:15Z,h1,oxygen,9.0
        """);

    Outcome outcome = run("replay", "--farm", "farm.yaml", "trip.csv", "--states", "5");

    assertThat(outcome.exitCode()).isZero();
    assertThat(outcome.err().lines())
        .containsExactly(
            "trip.csv:3: value: \"nine\" is not a number",
            "trip.csv:4: tank: \"h7\" is not a tank of this farm");
    List<String> lines = outcome.out().lines().toList();
    assertThat(lines)
        .allSatisfy(l -> assertThat(new ObjectMapper().readTree(l).isObject()).isTrue());
    assertThat(lines.get(lines.size() - 1))
        .isEqualTo(
            "{\"type\":\"summary\",\"readings\":2,\"rejected\":2,\"alarms\":0,\"seconds\":15}");
  }

  /** An open quote swallows the rest of a file, until it is too much. */
  @Test
  void replay_traceThatBreaksOff_leavesOnlyWholeLines() throws Exception {
    Files.writeString(folder.resolve("farm.yaml"), FARM);
    StringBuilder trace = new StringBuilder("time,tank,quantity,value\n");
    for (int i = 0; i < 5_000; i++) {
      trace.append(1_773_454_267 + i).append(",h1,oxygen,9.0\n");
    }
    trace.append("1773460000,h1,\"oxygen,9.0\n").append("x".repeat(20_000_000));
    Files.writeString(folder.resolve("trip.csv"), trace);

    Outcome outcome = run("replay", "--farm", "farm.yaml", "trip.csv", "--states", "5");

    assertThat(outcome.exitCode()).isEqualTo(2);
    assertThat(outcome.err().lines()).singleElement().asString().contains("trip.csv", "5002");
    assertThat(outcome.out()).endsWith("}\n");
    assertThat(outcome.out().lines())
        .hasSizeGreaterThan(900)
        .allSatisfy(l -> assertThat(new ObjectMapper().readTree(l).isObject()).isTrue());
  }

  @Test
  void brokenFarm_isOneLineForEachProblem_andExitCode2() throws Exception {
    Files.writeString(
        folder.resolve("farm.yaml"), FARM.replace("waterLitres: 1500", "waterLitres: many"));
    Files.writeString(folder.resolve("trip.csv"), "time,tank,quantity,value\n");

    Outcome outcome = run("replay", "--farm", "farm.yaml", "trip.csv");

    assertThat(outcome.exitCode()).isEqualTo(2);
    assertThat(outcome.out()).isEmpty();
    assertThat(outcome.err())
        .isEqualToIgnoringNewLines(
            "farm.yaml:5: tanks[0].waterLitres: \"many\" is not a number of L");
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "water --temperature 55 | 55",
        "water --temperature hot | hot",
        "water | --temperature",
        "replay --farm no.yaml no.csv | no.yaml: there is no such file",
        "serve --config no.yaml | no.yaml: there is no such file",
        "simulate --broker tcp://localhost:1883 --scenario picnic | picnic",
        "simulate --broker http://localhost | http",
        "simulate --trace nowhere/x.csv | nowhere/x.csv: cannot be written",
        "simulate --trace x.csv --minutes -5 | --minutes must be 1 to",
        "simulate --broker tcp://localhost:1883 --tanks 0 | --tanks must be 1 to 5000 but was 0",
        "simulate --broker tcp://localhost:1883 --rate -2 | --rate must be above 0",
        "simulate --broker tcp://localhost:1883 --seconds 0 | --seconds must be 1 to",
        "simulate --broker tcp://localhost:1883 --rate 5 --speed 3 | without --speed",
        "plan --water-litres 500 --species unicorn --kg 1 --temperature 5 --minutes 5 --gas air --diffuser ceramic | unicorn",
        "plan --water-litres -5 --species tench --kg 1 --temperature 5 --minutes 5 --gas air --diffuser ceramic | -5",
        "dance | dance",
      })
  void unusableInput_isOneLineThatNamesIt_andExitCode2(String arguments, String named)
      throws Exception {
    Outcome outcome = run(arguments.strip().split(" "));

    assertThat(outcome.exitCode()).isEqualTo(2);
    assertThat(outcome.out()).isEmpty();
    assertThat(outcome.err().lines()).singleElement().asString().contains(named.strip());
  }

  @Test
  void servicesApart_withoutABrokerToShare_sayWhatToDo() throws Exception {
    Files.writeString(folder.resolve("farm.yaml"), FARM);
    Files.writeString(folder.resolve("opercle.yaml"), "farm: farm.yaml\n");

    Outcome outcome = run("ingest", "--config", "opercle.yaml");

    assertThat(outcome.exitCode()).isEqualTo(2);
    assertThat(outcome.err().lines())
        .singleElement()
        .asString()
        .startsWith("opercle.yaml: mqtt.broker: is missing");
  }

  @Test
  void plan_overloadedTank_isExitCode1_withReasons() throws Exception {
    Outcome outcome =
        run(
            ("plan --water-litres 400 --species common-carp --kg 500 --count 250 --temperature 18"
                    + " --minutes 240 --gas oxygen --diffuser porous-hose --json")
                .split(" "));

    assertThat(outcome.exitCode()).isEqualTo(1);
    assertThat(new ObjectMapper().readTree(outcome.out()).path("verdict").asText())
        .isEqualTo("do-not-go");
  }
}
