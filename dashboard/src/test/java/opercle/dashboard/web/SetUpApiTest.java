// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.net.http.HttpResponse;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import opercle.analysis.farm.FarmReader;
import opercle.analysis.farm.FarmWriter;
import opercle.analysis.farm.Tank;
import opercle.analysis.stock.Species;
import opercle.ingest.payload.TopicMapping;
import opercle.ingest.reading.Quantity;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class SetUpApiTest {

  private static final ObjectMapper JSON = new ObjectMapper();

  @TempDir Path folder;
  private final FakeFarm farm = FakeFarm.quiet();
  private KeptSetUp setUp;
  private DashboardServer server;

  @BeforeEach
  void start() {
    setUp = KeptSetUp.in(folder, farm.farm());
    server =
        DashboardServer.start(
            DashboardSettings.onLoopback(0),
            farm,
            new FakeTraces(),
            PastAlarms.NONE,
            Optional.empty(),
            List.of(setUp.api()));
  }

  @AfterEach
  void stop() {
    server.close();
    setUp.close();
  }

  private HttpResponse<String> send(String method, String path, String body) throws Exception {
    return ApiCalls.send(server, method, path, body);
  }

  private JsonNode problem(HttpResponse<String> answer, int status) throws Exception {
    assertThat(answer.statusCode()).isEqualTo(status);
    return JSON.readTree(answer.body());
  }

  private Tank tank(String id) {
    return setUp.farm.farm().tank(id).orElseThrow();
  }

  @Test
  void tank_isDescribedAnew_andKeepsItsFish() throws Exception {
    HttpResponse<String> answer =
        send(
            "PUT",
            "/api/v1/setup/tanks/h1",
            """
            {'by':'Maren','tank':{'name':'Front tank','kind':'holding','waterLitres':1400,'depthM':0.9,
             'supply':{'gas':'air','source':'blower','diffuser':'ceramic','flowLPerMin':42,
             'sharedSource':'big blower','pausesMinutes':5},'floors':{'keepMgPerL':6,'criticalMgPerL':3}}}
            """);

    assertThat(answer.statusCode()).isEqualTo(200);
    assertThat(answer.body()).isEqualTo("{\"version\":2}");
    assertThat(tank("h1").name()).isEqualTo("Front tank");
    assertThat(tank("h1").loadKg()).isEqualTo(55.0);
    assertThat(tank("h1").supply().pausesMinutes()).hasValue(5.0);
    assertThat(setUp.farm.version().by()).isEqualTo("Maren");
  }

  @Test
  void tankThatAnotherHasDescribedAnewMeanwhile_isNotUndone_butFishAndOtherTanksAreNoReason()
      throws Exception {
    String described =
        """
        {'by':'%s','basedOn':%d,'tank':{'name':'Holding 1','kind':'holding','waterLitres':%d,
         'supply':{'gas':'air','source':'blower','diffuser':'porous-hose','flowLPerMin':45}}}
        """;
    String path = "/api/v1/setup/tanks/h1";
    send("POST", "/api/v1/tanks/h1/fish", "{'by':'Ines','do':'add','species':'tench','kg':5}");
    send("PUT", "/api/v1/setup/tanks/h2", described.formatted("Ines", 2, 900));
    assertThat(send("PUT", path, described.formatted("Maren", 1, 1300)).statusCode())
        .isEqualTo(200);

    JsonNode late = problem(send("PUT", path, described.formatted("Tomas", 3, 1200)), 409);

    assertThat(late.path("detail").asText())
        .isEqualTo(
            "Maren has changed it meanwhile. Holding 1: water is 1300 L, was 1500 L."
                + " Look at it again, then change it.");
    assertThat(tank("h1").waterLitres()).isEqualTo(1300.0);
    assertThat(send("PUT", path, described.formatted("Tomas", 4, 1200)).statusCode())
        .isEqualTo(200);
    problem(send("PUT", path, described.formatted("Tomas", 99, 1100)), 409);
  }

  @Test
  void tankThatCannotBe_isToldFieldByField_withValueLimitAndUnit() throws Exception {
    JsonNode problem =
        problem(
            send(
                "PUT",
                "/api/v1/setup/tanks/h1",
                """
                {'by':'Maren','tank':{'kind':'holding','waterLitres':0,
                 'supply':{'gas':'air','source':'blower','diffuser':'ceramic','flowLPerMin':9000}}}
                """),
            422);

    assertThat(problem.path("errors")).hasSize(2);
    JsonNode water = problem.path("errors").path(0);
    assertThat(water.path("pointer").asText()).isEqualTo("#/waterLitres");
    assertThat(water.path("detail").asText())
        .isEqualTo("waterLitres: 0 L is outside 1 to 1000000 L.");
    assertThat(problem.path("errors").path(1).path("pointer").asText())
        .isEqualTo("#/supply/flowLPerMin");
    assertThat(setUp.farm.version().number()).isEqualTo(1);
  }

  @Test
  void newTank_isAddedWithoutFish_andTakenOutAgain() throws Exception {
    String described =
        """
        {'by':'Maren','isNew':true,'tank':{'kind':'holding','waterLitres':900,
         'supply':{'gas':'air','source':'blower','diffuser':'ceramic','flowLPerMin':20}}}
        """;
    problem(send("PUT", "/api/v1/setup/tanks/h9", described.replace("true", "false")), 404);
    assertThat(send("PUT", "/api/v1/setup/tanks/h9", described).statusCode()).isEqualTo(200);
    assertThat(tank("h9").isStocked()).isFalse();
    JsonNode again = problem(send("PUT", "/api/v1/setup/tanks/h9", described), 422);
    assertThat(again.path("detail").asText())
        .isEqualTo("Short name: must be one that no other tank has.");
    assertThat(again.path("errors").path(0).path("detail").asText())
        .isEqualTo("/id is h9, must be one that no other tank has.");

    assertThat(send("POST", "/api/v1/setup/tanks/h9/remove", "{'by':'Maren'}").statusCode())
        .isEqualTo(200);
    assertThat(setUp.farm.hasTank("h9")).isFalse();
    problem(send("POST", "/api/v1/setup/tanks/h9/remove", "{'by':'Maren'}"), 404);
  }

  @Test
  void fish_areAdded_taken_andAllOut() throws Exception {
    String path = "/api/v1/tanks/h1/fish";
    send("POST", path, "{'by':'Maren','do':'add','species':'tench','kg':11,'count':14}");
    assertThat(tank("h1").loads())
        .singleElement()
        .satisfies(
            load -> {
              assertThat(load.kg()).isCloseTo(66.0, within(1e-9));
              assertThat(load.count()).hasValue(84);
              assertThat(load.species()).isEqualTo(Species.TENCH);
            });

    send("POST", path, "{'by':'Maren','do':'take','species':'tench','kg':33}");
    assertThat(tank("h1").loads().get(0).count()).hasValue(42);

    send("POST", path, "{'by':'Maren','do':'empty'}");
    assertThat(tank("h1").isStocked()).isFalse();
  }

  @Test
  void fish_sentTwiceOnTheSameSight_areAddedOnce() throws Exception {
    String path = "/api/v1/tanks/h1/fish";
    String body = "{'by':'Maren','basedOn':1,'do':'add','species':'tench','kg':11}";

    assertThat(send("POST", path, body).statusCode()).isEqualTo(200);
    problem(send("POST", path, body), 409);

    assertThat(tank("h1").loadKg()).isCloseTo(66.0, within(1e-9));
  }

  @Test
  void fishThatGoIntoAnotherTank_leaveTheOneAndAreInTheOther_withTheirDays_andItIsWrittenDown()
      throws Exception {
    String path = "/api/v1/tanks/h1/fish";
    HttpResponse<String> answer =
        send(
            "POST",
            path,
            "{'by':'Maren','do':'take','species':'tench','kg':11,'count':14,'into':'h2'}");

    assertThat(answer.statusCode()).isEqualTo(200);
    assertThat(tank("h1").loadKg()).isEqualTo(44.0);
    assertThat(tank("h2").loads())
        .anySatisfy(
            load -> {
              assertThat(load.species()).isEqualTo(Species.TENCH);
              assertThat(load.kg()).isEqualTo(11.0);
              assertThat(load.count()).hasValue(14);
              assertThat(load.since()).contains(Instant.parse("2026-03-12T17:00:00Z"));
            });
    assertThat(setUp.moves)
        .containsExactly("Holding 1: 11 kg of tench moved to Holding 2, by Maren");

    problem(
        send("POST", path, "{'by':'Maren','do':'take','species':'tench','kg':1,'into':'h1'}"), 422);
    problem(
        send("POST", path, "{'by':'Maren','do':'take','species':'tench','kg':1,'into':'h9'}"), 404);
    assertThat(tank("h1").loadKg()).isEqualTo(44.0);
    assertThat(setUp.moves).hasSize(1);
  }

  @Test
  void tankWithFish_isNotTakenOut() throws Exception {
    JsonNode problem =
        problem(send("POST", "/api/v1/setup/tanks/h1/remove", "{'by':'Maren'}"), 409);

    assertThat(problem.path("detail").asText())
        .isEqualTo("Fish are written down in Holding 1. Take them out first.");
    assertThat(setUp.farm.hasTank("h1")).isTrue();
  }

  @Test
  void moreFishTakenThanAreThere_isRefusedWithWhatIsThere() throws Exception {
    JsonNode problem =
        problem(
            send(
                "POST",
                "/api/v1/tanks/h1/fish",
                "{'by':'Maren','do':'take','species':'tench','kg':60}"),
            422);

    assertThat(problem.path("errors").path(0).path("detail").asText())
        .isEqualTo("/kg is 60, must be at most 55 kg.");
  }

  @Test
  void fishThatCannotBe_areToldFieldByField() throws Exception {
    JsonNode problem =
        problem(
            send(
                "POST",
                "/api/v1/tanks/h1/fish",
                "{'by':'Maren','do':'add','species':'cod','kg':0,'count':2.5,"
                    + "'since':'2027-01-01T00:00:00Z'}"),
            422);

    assertThat(problem.path("errors")).hasSize(4);
  }

  /** Far beyond what milliseconds or a database can count. */
  @Test
  void fishThatAreHeldSinceBeforeAllTime_areRefused() throws Exception {
    for (String since : List.of("-290309-01-01T00:00:00Z", "-999999999-01-01T00:00:00+18:00")) {
      JsonNode problem =
          problem(
              send(
                  "POST",
                  "/api/v1/tanks/h1/fish",
                  "{'by':'Maren','do':'add','species':'tench','kg':5,'since':'%s'}"
                      .formatted(since)),
              422);
      assertThat(problem.path("errors").path(0).path("detail").asText()).startsWith("/since is ");
    }
  }

  @Test
  void file_thatIsGivenOut_isTakenAgain_onceItWasChecked() throws Exception {
    String yaml =
        send("GET", "/api/v1/setup/farm.yaml", "")
            .body()
            .replace("waterLitres: 1500", "waterLitres: 1300");
    assertThat(FarmReader.parse("farm.yaml", FarmWriter.write(setUp.farm.farm())))
        .isEqualTo(setUp.farm.farm());
    String text = JSON.writeValueAsString(yaml);

    JsonNode check =
        JSON.readTree(sendAsIs("/api/v1/setup/check", "{\"yaml\":" + text + "}").body());
    assertThat(check.path("changes").path(0).asText())
        .isEqualTo("Holding 1: water is 1300 L, was 1500 L.");
    assertThat(setUp.farm.version().number()).isEqualTo(1);

    String body = "{\"by\":\"Maren\",\"basedOn\":1,\"yaml\":" + text + "}";
    assertThat(sendAsIs("/api/v1/setup/farm", body).statusCode()).isEqualTo(200);
    assertThat(tank("h1").waterLitres()).isEqualTo(1300.0);
    assertThat(sendAsIs("/api/v1/setup/farm", body).statusCode()).isEqualTo(409);
  }

  private HttpResponse<String> sendAsIs(String path, String body) throws Exception {
    return ApiCalls.sendAsIs(server, "POST", path, body);
  }

  @Test
  void fileThatCannotBeUsed_isToldWithEveryLineAndField() throws Exception {
    JsonNode problem =
        problem(
            sendAsIs(
                "/api/v1/setup/check",
                "{\"yaml\":\"farm: Sallowmere\\n"
                    + "altitudeM: 9000\\n"
                    + "tanks:\\n"
                    + "  - id: H 1\\n"
                    + "    colour: red\\n"
                    + "\"}"),
            422);

    assertThat(problem.path("errors")).hasSizeGreaterThan(3);
    assertThat(problem.path("errors").path(0).path("line").asInt()).isEqualTo(2);
    assertThat(problem.path("errors").path(0).path("field").asText()).isEqualTo("altitudeM");
  }

  @Test
  void topic_isAssigned_andTakenBack() throws Exception {
    String sent =
        "{'by':'Maren','topic':'trailer/box','pointer':'/water/degC','tank':'t1','quantity':'temperature'}";
    assertThat(send("POST", "/api/v1/setup/topics", sent).statusCode()).isEqualTo(204);

    assertThat(setUp.probes.assigned())
        .singleElement()
        .satisfies(
            a -> {
              TopicMapping m = a.mapping();
              assertThat(m.tank()).isEqualTo("t1");
              assertThat(m.quantity()).isEqualTo(Quantity.TEMPERATURE);
              assertThat(m.valuePointer()).isEqualTo("/water/degC");
            });

    send(
        "POST",
        "/api/v1/setup/topics/take-back",
        "{'by':'Maren','topic':'trailer/box','pointer':'/water/degC'}");
    assertThat(setUp.probes.assigned()).isEmpty();
  }
}
