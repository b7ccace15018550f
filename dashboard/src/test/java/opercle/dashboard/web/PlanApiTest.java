// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;
import java.util.List;
import opercle.analysis.farm.Tank.Diffuser;
import opercle.analysis.farm.Tank.Gas;
import opercle.analysis.plan.LoadPlan;
import opercle.analysis.plan.LoadPlanRequest;
import opercle.analysis.plan.LoadPlanRequest.Cylinders;
import opercle.analysis.plan.LoadPlanTree;
import opercle.analysis.stock.Batch;
import opercle.analysis.stock.FishLoad;
import opercle.analysis.stock.Species;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;

/** The load plan as a program asks for it. */
class PlanApiTest {

  private static final ObjectMapper JSON = new ObjectMapper();
  private static DashboardServer server;
  private final HttpClient client = HttpClient.newHttpClient();

  @BeforeAll
  static void start() {
    server =
        DashboardServer.start(DashboardSettings.onLoopback(0), FakeFarm.quiet(), new FakeTraces());
  }

  @AfterAll
  static void stop() {
    server.close();
  }

  private HttpResponse<String> post(String body) throws Exception {
    return client.send(
        HttpRequest.newBuilder(URI.create("http://127.0.0.1:" + server.port() + "/api/v1/plan"))
            .header("Content-Type", "application/json")
            .POST(HttpRequest.BodyPublishers.ofString(body))
            .build(),
        BodyHandlers.ofString());
  }

  @Test
  void plan_isThatOfTheCommand() throws Exception {
    HttpResponse<String> answer =
        post(
            """
            {"load":[{"species":"common-carp","kg":80,"count":40}],"waterLitres":650,
             "temperatureC":12,"riseC":2,"minutes":90,"gas":"oxygen","diffuser":"ceramic",
             "cylinder":{"waterLitres":20,"bar":150}}""");

    LoadPlan plan =
        LoadPlan.of(
            LoadPlanRequest.of(FishLoad.of(Batch.of(Species.COMMON_CARP, 80.0, 40)), 650.0)
                .temperatureC(12.0)
                .riseC(2.0)
                .minutes(90.0)
                .supply(Gas.OXYGEN, Diffuser.CERAMIC)
                .cylinders(Cylinders.one(20.0, 150.0))
                .build());
    assertThat(answer.statusCode()).isEqualTo(200);
    assertThat(JSON.readTree(answer.body()))
        .isEqualTo(JSON.readTree(JSON.writeValueAsString(LoadPlanTree.of(plan))));
  }

  @Test
  void everythingWrong_isToldAtOnce_withFieldValueLimitAndUnit() throws Exception {
    HttpResponse<String> answer =
        post(
            """
            {"load":[{"species":"carpp","kg":-3},{"species":"tench","kg":10,"count":1e7}],
             "waterLitres":"much","temperatureC":34,"riseC":5,"gas":"oxygen","difuser":"ceramic",
             "diffuser":"ceramic","cylinder":{"bar":700}}""");

    assertThat(answer.statusCode()).isEqualTo(422);
    assertThat(answer.headers().firstValue("Content-Type")).hasValue("application/problem+json");
    JsonNode problem = JSON.readTree(answer.body());
    assertThat(problem.path("title").asText()).isEqualTo("Fields that cannot be used");
    List<String> pointers = problem.path("errors").findValuesAsText("pointer");
    assertThat(pointers)
        .containsExactlyInAnyOrder(
            "#/difuser",
            "#/load/0/species",
            "#/load/0/kg",
            "#/load/1/count",
            "#/waterLitres",
            "#/minutes",
            "#/cylinder/waterLitres",
            "#/cylinder/bar",
            "#/riseC");
    assertThat(problem.path("detail").asText())
        .contains("Weight: must be 0.001–1000000 kg.", "How long is needed: 1–4320 min.");
    assertThat(String.join(" ", problem.path("errors").findValuesAsText("detail")))
        .contains("/load/0/kg is -3, must be 0.001–1000000 kg.")
        .contains("/waterLitres is \"much\", must be 1–1000000 L.")
        .contains("/minutes is missing, must be 1–4320 min.")
        .contains("did you mean diffuser?")
        .contains("/riseC is 5, which makes 39 at the end, must be 0–35 °C at the end.")
        .doesNotContain("Exception");
  }

  @Test
  void choices_nameEverySpecies_andTheLimits() throws Exception {
    JsonNode choices =
        JSON.readTree(
            client
                .send(
                    HttpRequest.newBuilder(
                            URI.create("http://127.0.0.1:" + server.port() + "/api/v1/plan"))
                        .build(),
                    BodyHandlers.ofString())
                .body());

    assertThat(choices.path("species").findValuesAsText("id")).hasSize(Species.values().length);
    assertThat(choices.path("limits").path("minutes").path("high").asDouble()).isEqualTo(4320.0);
    assertThat(choices.path("limits").path("cylinder.bar").path("unit").asText()).isEqualTo("bar");
  }

  @Test
  void whatIsNoPlan_isRefused() throws Exception {
    assertThat(post("[]").statusCode()).isEqualTo(400);
    assertThat(post("{").statusCode()).isEqualTo(400);
    assertThat(post("{\"load\":[]}").body()).contains("/load is 0 kinds, must be 1–10");
  }
}
