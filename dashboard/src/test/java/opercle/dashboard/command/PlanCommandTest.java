// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import opercle.analysis.Band;
import opercle.analysis.book.FarmBook;
import opercle.analysis.book.TripRecords;
import opercle.analysis.stock.Species;
import opercle.analysis.trip.MeasuredDemand;
import opercle.analysis.trip.PastDemand;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The {@code plan} command, in this process. */
class PlanCommandTest {

  private static final String LOAD =
      "plan --water-litres 650 --species common-carp --kg 60 --count 30 --temperature 10"
          + " --minutes 90 --gas oxygen --diffuser ceramic --cylinder-litres 10 --cylinder-bar 150";

  private final StringWriter out = new StringWriter();
  private final StringWriter err = new StringWriter();

  private int run(String arguments) {
    out.getBuffer().setLength(0);
    return OpercleCommand.run(
        arguments.split(" ", -1), new PrintWriter(out, true), new PrintWriter(err, true));
  }

  private JsonNode json(String arguments) throws IOException {
    assertThat(run(arguments + " --json")).isLessThan(2);
    return new ObjectMapper().readTree(out.toString());
  }

  /** What "another cylinder" advises can be tried. */
  @Test
  void cylinders_oneMore_lastTwiceAsLong() throws Exception {
    JsonNode one = json(LOAD);
    JsonNode two = json(LOAD + " --cylinders 2");

    assertThat(two.path("request").path("cylinder").path("count").asInt()).isEqualTo(2);
    assertThat(two.path("gasUsableLitres").asDouble())
        .isEqualTo(2.0 * one.path("gasUsableLitres").asDouble());
  }

  @Test
  void farmsOwnTrips_goInPlaceOfThePublishedEstimate_unlessItIsAskedFor(@TempDir Path folder)
      throws Exception {
    Files.writeString(
        folder.resolve("farm.yaml"),
        """
        farm: Sallowmere
        altitudeM: 40
        tanks:
          - { id: t1, name: Trailer tank, kind: transport, waterLitres: 650, depthM: 0.7,
              supply: { gas: oxygen, source: cylinder, diffuser: ceramic, flowLPerMin: 2.5 } }
        """);
    Path config = Files.writeString(folder.resolve("opercle.yaml"), "farm: farm.yaml\n");
    String own = LOAD + " --config " + config;
    assertThat(run(own)).isEqualTo(2);
    assertThat(err.toString()).contains("book.db does not exist").doesNotContain("Exception");
    try (FarmBook book = FarmBook.open(folder.resolve("opercle-data").resolve("book.db"))) {
      TripRecords trips = new TripRecords(book, "Sallowmere");
      assertThat(json(own).at("/request/measuredRate").isMissingNode()).isTrue();
      assertThat(run(own)).isZero();
      assertThat(out.toString()).startsWith("No trip of this farm tells what such fish breathe");
      for (int trip = 0; trip < 3; trip++) {
        trips.learn(
            new PastDemand(
                "trip-" + trip,
                Instant.parse("2026-03-14T09:00:00Z"),
                Species.COMMON_CARP,
                2.0,
                10.0,
                MeasuredDemand.Way.GAS_OFF,
                new Band(38.0, 40.0 + trip, 44.0)));
      }
    }

    JsonNode measured = json(own).at("/request/measuredRate");
    assertThat(measured.path("trips").asInt()).isEqualTo(3);
    assertThat(measured.at("/mgPerKgPerHour/likely").asDouble()).isBetween(40.0, 42.0);
    run(own);
    assertThat(out.toString().replaceAll("\\s+", " "))
        .contains("as 3 of the farm's own trips measured it: 41 mg of oxygen an hour");
    assertThat(json(own + " --published").at("/request/measuredRate").isMissingNode()).isTrue();
    assertThat(json(own + " --species tench --kg 10").at("/request/measuredRate").isMissingNode())
        .as("a mixed load")
        .isTrue();
  }

  @Test
  void fedOrExhaustedFish_breatheMore() throws Exception {
    double quiet = json(LOAD).at("/demandNowMgPerKgPerHour/likely").asDouble();
    JsonNode fed = json(LOAD + " --fed");
    JsonNode exhausted = json(LOAD + " --exhausted");

    assertThat(fed.at("/request/feeding").asText()).isEqualTo("fed");
    assertThat(fed.at("/demandNowMgPerKgPerHour/likely").asDouble()).isGreaterThan(1.8 * quiet);
    assertThat(exhausted.at("/demandNowMgPerKgPerHour/likely").asDouble())
        .isGreaterThan(1.7 * quiet);
  }

  /** Verdict, every reason and every note are the same on the screen and in JSON. */
  @Test
  void text_saysWhatTheJsonSays() throws Exception {
    JsonNode json = json(LOAD + " --rise 6 --response-minutes 60");
    int exitCode = run(LOAD + " --rise 6 --response-minutes 60");
    String text = out.toString().replaceAll("\\s+", " ");

    assertThat(exitCode).isEqualTo(json.path("verdict").asText().equals("do-not-go") ? 1 : 0);
    assertThat(json.path("reasons")).hasSize(10);
    for (JsonNode reason : json.path("reasons")) {
      assertThat(text)
          .contains(reason.path("sentence").asText())
          .contains(reason.path("source").asText());
    }
    for (String list : new String[] {"notes", "cautions"}) {
      assertThat(json.path(list)).isNotEmpty();
      json.path(list).forEach(line -> assertThat(text).contains(line.asText()));
    }
    json.path("remedies").forEach(r -> assertThat(text).contains(r.path("sentence").asText()));
    assertThat(text).contains("rising to the end");
  }

  @Test
  void halfACylinder_isOneLine_andExitCode2() {
    assertThat(run(LOAD.replace(" --cylinder-bar 150", ""))).isEqualTo(2);

    assertThat(out.toString()).isEmpty();
    assertThat(err.toString()).contains("--cylinder-litres and --cylinder-bar go together");
  }
}
