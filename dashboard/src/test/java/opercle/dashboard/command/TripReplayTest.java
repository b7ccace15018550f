// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import opercle.analysis.farm.FarmWriter;
import opercle.dashboard.web.KeptTrips;
import opercle.dashboard.web.ServedTrips;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A trip's readings, saved from its page as CSV, go through {@code replay} as a trace. */
class TripReplayTest {

  @TempDir Path folder;

  private final StringWriter err = new StringWriter();

  private List<JsonNode> replay(String... arguments) throws IOException {
    ByteArrayOutputStream caught = new ByteArrayOutputStream();
    PrintStream before = System.out;
    System.setOut(new PrintStream(caught, true, UTF_8));
    try {
      PrintWriter complaints = new PrintWriter(err, true);
      assertThat(OpercleCommand.run(arguments, complaints, complaints)).as(err.toString()).isZero();
    } finally {
      System.setOut(before);
    }
    List<JsonNode> lines = new ArrayList<>();
    for (String line : caught.toString(UTF_8).lines().toList()) {
      lines.add(new ObjectMapper().readTree(line));
    }
    return lines;
  }

  /** What an alarm says of itself, apart from its words. */
  private static String told(JsonNode alarm) {
    return "%d %s %s"
        .formatted(
            Instant.parse(alarm.path("time").asText()).toEpochMilli(),
            alarm.path("cause").asText(),
            alarm.path("event").asText());
  }

  private static List<JsonNode> of(String type, List<JsonNode> lines) {
    return lines.stream().filter(l -> l.path("type").asText().equals(type)).toList();
  }

  @Test
  void savedReadings_replayed_alarmAsTheTripDid_andSinkAsLow() throws Exception {
    Path csv = folder.resolve("trip.csv");
    Path farm = folder.resolve("farm.yaml");
    JsonNode review;
    JsonNode file;
    try (ServedTrips served = new ServedTrips(folder).withASplitLine("seen").serve()) {
      Files.write(csv, served.bytes("/api/v1/trips/seen/readings.csv").body());
      review = served.get("/api/v1/trips/seen");
      file = served.get("/api/v1/trips/seen/trip.json");
    }
    Files.writeString(farm, FarmWriter.write(KeptTrips.farm()));

    List<JsonNode> lines =
        replay("replay", "--farm", farm.toString(), csv.toString(), "--states", "1");

    assertThat(err.toString()).as("rows that could not be used").isEmpty();
    List<String> alarms =
        of("alarm", lines).stream()
            .filter(a -> a.path("tank").asText().equals("t1"))
            .map(TripReplayTest::told)
            .toList();
    List<String> then = new ArrayList<>();
    file.path("alarms").forEach(a -> then.add(told(a)));
    assertThat(alarms).isNotEmpty().containsExactlyElementsOf(then);
    double lowest =
        of("state", lines).stream()
            .filter(s -> s.path("tank").asText().equals("t1"))
            .mapToDouble(s -> s.path("oxygenMgPerL").asDouble(Double.MAX_VALUE))
            .min()
            .orElseThrow();
    assertThat(lowest).isEqualTo(review.path("lowestMgPerL").asDouble());
    JsonNode summary = of("summary", lines).get(0);
    assertThat(summary.path("readings").asLong()).isEqualTo(Files.readAllLines(csv).size() - 1);
    assertThat(summary.path("rejected").asLong()).isZero();
  }
}
