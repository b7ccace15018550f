// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpRequest.BodyPublishers;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import opercle.analysis.book.FarmBook;
import opercle.analysis.publish.TankAct;
import opercle.analysis.watch.TankEvent;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** What has built up, over HTTP. */
class HoldingApiTest {

  private static final ObjectMapper JSON = new ObjectMapper();

  @TempDir Path folder;
  private final HttpClient client = HttpClient.newHttpClient();
  private final FakeFarm farm = FakeFarm.quiet();
  private FarmBook book;
  private DashboardServer server;

  @BeforeEach
  void start() {
    book = FarmBook.open(folder.resolve("book.db"));
    server =
        DashboardServer.start(
            DashboardSettings.onLoopback(0),
            farm,
            new FakeTraces(),
            PastAlarms.NONE,
            Optional.empty(),
            List.of(KeptHolding.in(book, farm, PastAlarms.NONE)));
  }

  @AfterEach
  void stop() {
    server.close();
    book.close();
  }

  private HttpRequest.Builder request(String path) {
    return HttpRequest.newBuilder(URI.create("http://127.0.0.1:" + server.port() + path))
        .timeout(Duration.ofSeconds(20));
  }

  private JsonNode get(String path) throws Exception {
    HttpResponse<String> answer = client.send(request(path).build(), BodyHandlers.ofString());
    assertThat(answer.statusCode()).as(answer.body()).isEqualTo(200);
    return JSON.readTree(answer.body());
  }

  private HttpResponse<String> work(String json) throws Exception {
    return workAt("h2", json);
  }

  private HttpResponse<String> workAt(String tank, String json) throws Exception {
    return client.send(
        request("/api/v1/tanks/" + tank + "/work")
            .header("Content-Type", "application/json")
            .POST(BodyPublishers.ofString(json.replace('\'', '"')))
            .build(),
        BodyHandlers.ofString());
  }

  @Test
  void aTank_tellsWhatBuiltUp_withRangeBasisAndTheVetsPeriod() throws Exception {
    JsonNode tank = get("/api/v1/tanks/h2/holding");

    assertThat(tank.path("withdrawals").path(0).path("until").asText()).isEqualTo("2026-03-30");
    JsonNode tan = tank.path("tanMgPerL");
    assertThat(tan.path("basis").asText()).isEqualTo("since-measured");
    assertThat(tan.path("low").asDouble()).isLessThan(tan.path("high").asDouble());
    assertThat(tank.path("next")).isNotEmpty();
    assertThat(tank.path("work")).hasSize(3);
  }

  @Test
  void whatIsWrittenDown_isKeptOnce_andTheWatchHearsOfIt() throws Exception {
    String meal = "{'id':'meal-0001','by':'Tove','kind':'feed','fields':{'kg':0.4}}";

    assertThat(work(meal).statusCode()).isEqualTo(201);
    assertThat(work(meal).statusCode()).isEqualTo(200);
    assertThat(get("/api/v1/tanks/h2/holding").path("work")).hasSize(4);
    assertThat(farm.acts()).containsExactly(new TankAct.Note("h2", TankEvent.Kind.FED, "Tove"));
  }

  @Test
  void whatIsWithdrawn_countsNoLonger_andStaysReadable() throws Exception {
    String why =
        "{'id':'gone-0001','by':'Tove','kind':'treatment','corrects':'bath-0001',"
            + "'why':'Another tank','withdraws':true,'fields':"
            + "{'what':'A bath','amount':'20 mL','reason':'tufts'}}";

    assertThat(work(why).statusCode()).isEqualTo(201);
    JsonNode tank = get("/api/v1/tanks/h2/holding");
    assertThat(tank.path("withdrawals")).isEmpty();
    assertThat(tank.path("work")).anyMatch(e -> e.path("withdrawn").asBoolean());
  }

  @Test
  void checkByHand_isKept_saysWho_andIsToldAsDone() throws Exception {
    String check =
        "{'id':'hand-0001','by':'Tove','kind':'hand-check',"
            + "'fields':{'fish':'restless','oxygenMgPerL':8.2,'temperatureC':11.5}}";

    assertThat(workAt("t1", check).statusCode()).isEqualTo(201);

    JsonNode newest = get("/api/v1/tanks/t1/holding").path("work").path(0);
    assertThat(newest.path("title").asText())
        .isEqualTo("Trailer tank: fish restless, oxygen 8.2 mg/L, water 11.5 °C");
    assertThat(newest.path("versions").path(0).path("by").asText()).isEqualTo("Tove");
    assertThat(farm.acts()).containsExactly(new TankAct.Note("t1", TankEvent.Kind.CHECKED, "Tove"));
    assertThat(workAt("t1", check.replace("restless", "sleepy")).body())
        .contains("fish: must be one of the words for a hand check but was 'sleepy'");
  }

  /** The clocks of the farm go forward on 2026-03-29 at 01:00 UTC, and back on 2026-10-25. */
  @ParameterizedTest
  @CsvSource({
    "2026-03-29, 2026-03-29T22:59:59Z, true",
    "2026-03-29, 2026-03-29T23:00:00Z, false",
    "2026-10-25, 2026-10-25T23:59:59Z, true",
    "2026-10-25, 2026-10-26T00:00:00Z, false",
    "2026-10-24, 2026-10-24T22:59:59Z, true",
    "2026-10-24, 2026-10-24T23:00:00Z, false"
  })
  void lastDayOfAPeriod_endsAtTheFarmsMidnight_alsoWhereTheClocksChange(
      String until, Instant now, boolean runs) throws Exception {
    farm.advance(Duration.between(farm.now(), now));
    workAt(
        "h1",
        "{'id':'bath-0003','by':'Tove','kind':'treatment','fields':{'what':'A bath',"
            + "'amount':'5 mL','reason':'tufts','until':'%s'}}".formatted(until));

    assertThat(get("/api/v1/tanks/h1/holding").path("withdrawals").isEmpty()).isNotEqualTo(runs);
  }

  @Test
  void treatmentInATransportTank_isKept_andRunsThere() throws Exception {
    workAt(
        "t1",
        "{'id':'bath-0002','by':'Tove','kind':'treatment','fields':{'what':'A bath',"
            + "'amount':'5 mL','reason':'tufts','until':'2026-03-30'}}");

    JsonNode others = get("/api/v1/holding").path("others");
    assertThat(others).hasSize(1);
    assertThat(others.path(0).path("tank").asText()).isEqualTo("t1");
    assertThat(others.path(0).path("withdrawals").path(0).path("what").asText())
        .isEqualTo("A bath");
  }

  @Test
  void fishThatWereMoved_areUnderTheMedicineOfTheOtherTank() throws Exception {
    assertThat(
            work("{'id':'moved-0001','by':'Tove','kind':'moved','fields':"
                    + "{'to':'h1','toName':'Holding 1','kg':5,'species':'tench'}}")
                .statusCode())
        .isEqualTo(201);

    JsonNode there = get("/api/v1/tanks/h1/holding").path("withdrawals").path(0);
    assertThat(there.path("what").asText()).isEqualTo("A bath against fungus");
    assertThat(there.path("givenAt").asText()).isEqualTo("Holding 2");
  }

  @Test
  void whatIsPutRight_counts_andWhatStoodBeforeStaysReadable() throws Exception {
    assertThat(
            work("{'id':'feed-0002','by':'Tove','kind':'feed','corrects':'feed-0001',"
                    + "'why':'Another bag','fields':{'kg':0.5,'time':'2026-03-13T06:11:07Z'}}")
                .statusCode())
        .isEqualTo(201);

    JsonNode tank = get("/api/v1/tanks/h2/holding");
    assertThat(tank.path("work"))
        .anySatisfy(
            e -> {
              assertThat(e.path("title").asText()).isEqualTo("Holding 2: fed 0.5 kg");
              assertThat(e.path("versions")).hasSize(2);
              assertThat(e.path("versions").path(1).path("why").asText()).isEqualTo("Another bag");
            });
  }

  @Test
  void whatIsNotToBeTaken_isRefusedByItsField() throws Exception {
    HttpResponse<String> ph =
        work("{'id':'test-0009','by':'Tove','kind':'water-test','fields':{'ph':74}}");
    assertThat(ph.statusCode()).isEqualTo(400);
    assertThat(ph.body()).contains("ph: must be 4–11 but was 74");

    HttpResponse<String> later =
        work(
            "{'id':'test-0010','by':'Tove','kind':'cleaning',"
                + "'fields':{'time':'2199-01-01T00:00:00Z'}}");
    assertThat(later.statusCode()).isEqualTo(400);
    assertThat(later.body()).contains("time: must not be to come");

    assertThat(work("{'id':'move-0001','by':'Tove','kind':'movement','fields':{}}").statusCode())
        .isEqualTo(400);
  }

  @Test
  void salt_isForTheTanksWater_andSaysWhatToMind() throws Exception {
    double litres = get("/api/v1/tanks/h2/holding").path("waterLitres").asDouble();
    JsonNode dose = get("/api/v1/tanks/h2/salt?targetGPerL=3&nowGPerL=1");

    assertThat(dose.path("kg").asDouble()).isEqualTo(2.0 * litres / 1000.0);
    assertThat(dose.path("mind").asText()).contains("vet");
  }

  @Test
  void waterChange_isByDilution() throws Exception {
    double litres = get("/api/v1/tanks/h2/holding").path("waterLitres").asDouble();
    JsonNode change = get("/api/v1/tanks/h2/water-change?now=4&target=1");

    assertThat(change.path("litres").asDouble()).isEqualTo(0.75 * litres);
    assertThat(get("/api/v1/tanks/h2/water-change?now=4&target=1&fresh=2").has("litres")).isFalse();
  }

  @Test
  void allHoldingTanks_areThere() throws Exception {
    assertThat(get("/api/v1/holding").path("tanks").findValuesAsText("tank")).contains("h1", "h2");
  }
}
