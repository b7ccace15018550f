// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static opercle.dashboard.web.DoneAtTanks.hoursAgo;
import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.analysis.stock.Species;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.io.TempDir;

/** For tests of what the traces of a tank are marked with: a quiet farm that is served. */
abstract class MarkedTank {

  private static final ObjectMapper JSON = new ObjectMapper();

  @TempDir Path folder;
  KeptAlarms kept;
  DoneAtTanks done;
  private DashboardServer server;

  @BeforeEach
  void start() {
    kept = KeptAlarms.in(folder);
    done = new DoneAtTanks(kept.book());
    server =
        DashboardServer.start(
            DashboardSettings.onLoopback(0), FakeFarm.quiet(), new FakeTraces(), kept.past());
  }

  @AfterEach
  void stop() {
    server.close();
    kept.close();
  }

  static Tank.Load tench(double kg, Instant since) {
    return new Tank.Load(Species.TENCH, kg, OptionalInt.empty(), Optional.of(since));
  }

  static List<Tank.Load> loads(Farm farm, String tank) {
    return farm.tank(tank).orElseThrow().loads();
  }

  static Farm with(Farm farm, String id, List<Tank.Load> loads) {
    return new Farm(
        farm.name(),
        farm.altitudeM(),
        farm.tanks().stream().map(t -> t.id().equals(id) ? t.withLoads(loads) : t).toList());
  }

  /** The marks of the last day in words. */
  List<String> words(String tank) throws Exception {
    return events(tank, 24).stream().map(d -> d.path("words").asText()).toList();
  }

  /** What is marked of a tank in the last hours. */
  List<JsonNode> events(String tank, double hours) throws Exception {
    HttpResponse<String> answer =
        HttpClient.newHttpClient()
            .send(
                HttpRequest.newBuilder(
                        URI.create(
                            "http://127.0.0.1:%d/api/v1/tanks/%s/events?from=%s&to=%s"
                                .formatted(
                                    server.port(),
                                    tank,
                                    hoursAgo(hours),
                                    FakeFarm.NIGHT.plusSeconds(1))))
                    .build(),
                BodyHandlers.ofString());
    assertThat(answer.statusCode()).as(answer.body()).isEqualTo(200);
    List<JsonNode> deeds = new ArrayList<>();
    JSON.readTree(answer.body()).path("events").forEach(deeds::add);
    return deeds;
  }
}
