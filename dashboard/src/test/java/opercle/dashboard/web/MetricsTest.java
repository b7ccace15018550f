// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;
import java.time.Duration;
import java.util.Optional;
import java.util.regex.Pattern;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;

/** What programs that watch programs are told. */
class MetricsTest {

  /** A sample line of OpenMetrics 1.0, section "ABNF": name, labels, number. */
  private static final Pattern SAMPLE =
      Pattern.compile(
          "[a-zA-Z_:][a-zA-Z0-9_:]*(\\{([a-zA-Z_][a-zA-Z0-9_]*=\"([^\"\\\\]|\\\\.)*\",?)*\\})? \\S+");

  private final HttpClient client = HttpClient.newHttpClient();
  private final FakeFarm farm = FakeFarm.troubled();
  private final DashboardServer server =
      DashboardServer.start(DashboardSettings.onLoopback(0), farm, new FakeTraces());

  @AfterEach
  void stop() {
    server.close();
  }

  @Test
  void metrics_areOpenMetrics_lineByLine() throws Exception {
    HttpResponse<String> answer = get("/metrics");

    assertThat(answer.headers().firstValue("Content-Type").orElse(""))
        .startsWith("application/openmetrics-text");
    assertThat(answer.body()).endsWith("# EOF\n");
    assertThat(answer.body().lines().filter(line -> !line.startsWith("#")))
        .hasSizeGreaterThan(50)
        .allMatch(line -> SAMPLE.matcher(line).matches());
  }

  @Test
  void metrics_tellTheTanksAndWhatWasNotTaken() throws Exception {
    assertThat(get("/metrics").body())
        .contains(
            "opercle_tank_oxygen_mg_per_litre{tank=\"h2\"} 8.3\n",
            "opercle_tank_time_in_hand_seconds{tank=\"h2\",when=\"as-things-go\"} 1890.0\n",
            "opercle_tank_alarms{priority=\"high\",tank=\"h2\"} 1.0\n",
            "opercle_tank_newest_reading_age_seconds{tank=\"q1\"} 412.0\n",
            "opercle_not_taken_total{reason=\"unknown-tank\"} 12.0\n",
            "jvm_memory_used_bytes");
  }

  @Test
  void whatIsNotKnown_hasNoSample() throws Exception {
    assertThat(get("/metrics").body())
        .doesNotContain("opercle_tank_oxygen_mg_per_litre{tank=\"q1\"}")
        .doesNotContain("opercle_readings_total")
        .doesNotContain("opercle_broker_up")
        .doesNotContain("opercle_spool");
  }

  @Test
  void metrics_tellTheMonitorsParts() throws Exception {
    farm.monitor(store(Optional.of("no space left on the disk")));

    assertThat(get("/metrics").body())
        .contains(
            "opercle_readings_total 2100.0\n",
            "opercle_behind_seconds 2.5\n",
            "opercle_broker_up 1.0\n",
            "opercle_store_up 0.0\n",
            "opercle_disk_free_bytes 2.0E9\n",
            "opercle_influxdb_up 0.0\n",
            "opercle_spool_waiting_seconds 720.0\n",
            "opercle_spool_bytes 4000000.0\n");
  }

  @Test
  void live_isYes_howeverIllTheParts() throws Exception {
    farm.monitor(store(Optional.of("no space left on the disk")));

    assertThat(get("/health/live").statusCode()).isEqualTo(200);
  }

  @Test
  void ready_isNo_whileTheStoreTakesNothing_andTellsAStrangerNoMore() throws Exception {
    farm.monitor(store(Optional.of("/var/lib/opercle/readings.db: no space left on the disk")));

    HttpResponse<String> answer = get("/health/ready");
    assertThat(answer.statusCode()).isEqualTo(503);
    assertThat(answer.body())
        .isEqualTo("{\"status\":\"down\",\"broker\":\"up\",\"store\":\"down\"}");

    farm.monitor(store(Optional.empty()));
    assertThat(get("/health/ready").statusCode()).isEqualTo(200);
  }

  private static MonitorState store(Optional<String> trouble) {
    return new MonitorState(
        Optional.of(new MonitorState.Intake(70, 2100, 3, Duration.ofMillis(2500))),
        Optional.of(MonitorState.Part.of(Optional.empty())),
        Optional.of(MonitorState.Part.of(trouble)),
        Optional.of(new MonitorState.Disk(2_000_000_000L, 64_000_000_000L)),
        Optional.of(new MonitorState.Spool(false, Duration.ofMinutes(12), 4_000_000L)));
  }

  private HttpResponse<String> get(String path) throws Exception {
    return client.send(
        HttpRequest.newBuilder(URI.create("http://127.0.0.1:" + server.port() + path)).build(),
        BodyHandlers.ofString());
  }
}
