// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trace;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.StringReader;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.FarmReader;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.settings.Problem;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class ReplayTest {

  private static final Instant START = Instant.parse("2026-03-14T20:00:00Z");
  private static final Farm FARM =
      FarmReader.parse(
          "farm.yaml",
          """
          farm: Sallowmere
          tanks:
            - id: h1
              name: Holding 1
              kind: holding
              waterLitres: 1500
              supply: { gas: air, source: blower, diffuser: porous-hose, flowLPerMin: 45 }
              load: { species: tench, kg: 55, count: 70 }
          """);

  private final ObjectMapper json = new ObjectMapper();

  private static List<String> replay(String csv, Optional<Duration> states) {
    List<String> lines = new ArrayList<>();
    List<Problem> broken = new ArrayList<>();
    Replay replay = new Replay(FARM, states, lines::add);
    try (TraceReader trace =
        new TraceReader(
            "trace.csv", new StringReader(csv), FARM.tankIds()::contains, broken::add)) {
      for (Reading r = trace.next(); r != null; r = trace.next()) {
        replay.accept(r);
      }
    }
    broken.forEach(p -> replay.reject());
    replay.finish();
    return lines;
  }

  private JsonNode summary(List<String> lines) throws IOException {
    return json.readTree(lines.get(lines.size() - 1));
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "stream_french_creek.csv",
        "stream_spring_creek.csv",
        "zebrafish_closed_20c_fish.csv",
        "zebrafish_closed_20c_blank.csv",
        "zebrafish_closed_26c_fish.csv",
        "zebrafish_closed_26c_blank.csv",
        "zebrafish_closed_29c_fish.csv",
        "zebrafish_closed_29c_blank.csv",
        "zebrafish_closed_32c_fish.csv",
        "zebrafish_closed_32c_blank.csv",
        "reaeration_100umol_s_2020.csv",
        "reaeration_225umol_s_2019.csv",
        "reaeration_550umol_s_2020.csv",
        "reaeration_700umol_s_2020.csv",
        "reaeration_850umol_s_2020.csv"
      })
  void realTrace_sameInput_sameOutputByteForByte_andNoGasAlarmWithoutAMeter(String file)
      throws IOException {
    String csv = RealTrace.asTrace(file, START);

    List<String> first = replay(csv, Optional.of(Duration.ofMinutes(10)));
    List<String> second = replay(csv, Optional.of(Duration.ofMinutes(10)));

    assertThat(first).isEqualTo(second);
    long rows = csv.lines().count() - 1;
    assertThat(summary(first).path("type").asText()).isEqualTo("summary");
    assertThat(summary(first).path("readings").asLong() + summary(first).path("rejected").asLong())
        .isEqualTo(rows);
    assertThat(first).noneMatch(l -> l.contains("\"gas-line-stopped\""));
  }

  @Test
  void states_comeAtEvenTimesForEachTank_withTheContractsKeys() throws IOException {
    List<String> lines =
        replay(
            RealTrace.asTrace("zebrafish_closed_26c_fish.csv", START),
            Optional.of(Duration.ofSeconds(60)));

    List<JsonNode> states = new ArrayList<>();
    for (String line : lines) {
      JsonNode node = json.readTree(line);
      if (node.path("type").asText().equals("state")) {
        states.add(node);
      }
    }
    assertThat(states).hasSize((int) (summary(lines).path("seconds").asDouble() / 60));
    assertThat(states.get(0).path("time").asText()).isEqualTo("2026-03-14T20:01:00.000Z");
    assertThat(states.get(0).fieldNames())
        .toIterable()
        .containsExactly(
            "type",
            "time",
            "tank",
            "oxygenMgPerL",
            "saturationPercent",
            "temperatureC",
            "slopeMgPerLPerMin",
            "demandMgPerKgPerHour",
            "timeInHandMinutes",
            "timeInHandIfGasStopsMinutes");
  }

  @Test
  void oneReadingFarAhead_isRejectedAndDoesNotCarryTheClock() throws IOException {
    List<String> lines = new ArrayList<>();
    Replay replay = new Replay(FARM, Optional.empty(), lines::add);

    replay.accept(oxygen(START, 9.0));
    replay.accept(oxygen(START.plus(Duration.ofDays(400)), 9.0));
    replay.accept(oxygen(START.plusSeconds(1), 9.0));
    replay.finish();

    assertThat(summary(lines).path("readings").asLong()).isEqualTo(2);
    assertThat(summary(lines).path("rejected").asLong()).isEqualTo(1);
    assertThat(summary(lines).path("seconds").asDouble()).isEqualTo(1.0);
  }

  @Test
  void gapOfMonths_isCrossedWithoutCountingItsSeconds() throws IOException {
    List<String> lines = new ArrayList<>();
    Replay replay = new Replay(FARM, Optional.empty(), lines::add);

    replay.accept(oxygen(START, 9.0));
    replay.accept(oxygen(START.plus(Duration.ofDays(400)), 9.0));
    replay.accept(oxygen(START.plus(Duration.ofDays(400)).plusSeconds(1), 9.0));
    replay.finish();

    assertThat(summary(lines).path("readings").asLong()).isEqualTo(3);
    assertThat(summary(lines).path("rejected").asLong()).isZero();
  }

  @Test
  void stoppedMeter_isToldAsTheContractSays() throws IOException {
    StringBuilder csv = new StringBuilder("time,tank,quantity,value\n");
    for (int s = 0; s < 300; s++) {
      Instant t = START.plusSeconds(s);
      csv.append(t).append(",h1,oxygen,8.6\n").append(t).append(",h1,temperature,12.0\n");
      csv.append(t).append(",h1,gas-flow,").append(s < 200 ? "45.0" : "0.0").append('\n');
    }

    List<String> lines = replay(csv.toString(), Optional.empty());

    JsonNode alarm = json.readTree(lines.get(0));
    assertThat(alarm.path("type").asText()).isEqualTo("alarm");
    assertThat(alarm.path("tank").asText()).isEqualTo("h1");
    assertThat(alarm.path("cause").asText()).isEqualTo("gas-line-stopped");
    assertThat(alarm.path("event").asText()).isEqualTo("raised");
    assertThat(alarm.path("priority").asText()).isEqualTo("high");
    assertThat(alarm.path("state").asText()).isEqualTo("unacknowledged");
    assertThat(Instant.parse(alarm.path("time").asText()))
        .isBetween(START.plusSeconds(201), START.plusSeconds(211));
    assertThat(alarm.path("timeInHandMinutes").isNumber()).isTrue();
    assertThat(alarm.path("oxygenMgPerL").asDouble()).isEqualTo(8.6);
    assertThat(alarm.path("message").asText()).startsWith("Holding 1: no gas flow");
  }

  private static Reading oxygen(Instant time, double mgPerL) {
    return new Reading("h1", Quantity.OXYGEN, "1", time, mgPerL);
  }
}
