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
import java.util.ArrayList;
import java.util.List;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.book.FarmBook;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The addresses about past alarms, as a program sees them. */
class AlarmsApiTest {

  private static final ObjectMapper JSON = new ObjectMapper();
  private static final String VERDICT = "/api/v1/tanks/h2/alarms/gas-line-stopped/verdict";

  @TempDir Path folder;
  private KeptAlarms kept;
  private DashboardServer server;
  private final HttpClient client = HttpClient.newHttpClient();

  @BeforeEach
  void start() {
    kept = KeptAlarms.in(folder);
    server =
        DashboardServer.start(
            DashboardSettings.onLoopback(0), FakeFarm.troubled(), new FakeTraces(), kept.past());
  }

  @AfterEach
  void stop() {
    server.close();
    kept.close();
  }

  private HttpResponse<String> get(String path) throws Exception {
    return client.send(HttpRequest.newBuilder(uri(path)).build(), BodyHandlers.ofString());
  }

  private HttpResponse<String> post(String path, String body) throws Exception {
    return client.send(
        HttpRequest.newBuilder(uri(path))
            .header("Content-Type", "application/json")
            .POST(BodyPublishers.ofString(body))
            .build(),
        BodyHandlers.ofString());
  }

  private URI uri(String path) {
    return URI.create("http://127.0.0.1:" + server.port() + path);
  }

  private JsonNode json(String path) throws Exception {
    HttpResponse<String> answer = get(path);
    assertThat(answer.statusCode()).as(answer.body()).isEqualTo(200);
    return JSON.readTree(answer.body());
  }

  private static String verdict(boolean wasTrue) {
    return "{\"by\":\"Maren\",\"wasTrue\":%s,\"since\":\"%s\"}"
        .formatted(wasTrue, KeptAlarms.GAS_SINCE);
  }

  @Test
  void history_isOfTheLastWeek_newestFirst_inTheFormOfTheEvents() throws Exception {
    JsonNode answer = json("/api/v1/alarms");

    assertThat(answer.path("events").findValuesAsText("event"))
        .containsExactly("raised", "cleared", "acknowledged", "raised");
    JsonNode event = answer.path("events").path(2);
    assertThat(event.path("type").asText()).isEqualTo("alarm");
    assertThat(event.path("by").asText()).isEqualTo("Maren");
    assertThat(event.path("since").asText()).isEqualTo("2026-03-13T02:11:07.000Z");
    assertThat(answer.has("next")).isFalse();
    assertThat(answer.path("takesVerdicts").asBoolean()).isTrue();
    assertThat(answer.path("missing")).isEmpty();
  }

  @Test
  void history_isReadPageByPage() throws Exception {
    List<String> times = new ArrayList<>();
    String query = "?from=2026-01-01T00:00:00Z&most=2";
    String before = "";
    while (true) {
      JsonNode answer = json("/api/v1/alarms" + query + before);
      times.addAll(answer.path("events").findValuesAsText("time"));
      if (!answer.has("next")) {
        break;
      }
      before = "&before=" + answer.path("next").asText();
    }
    List<String> all =
        json("/api/v1/alarms?from=2026-01-01T00:00:00Z").path("events").findValuesAsText("time");

    assertThat(times).hasSize(5).isEqualTo(all);
  }

  @Test
  void history_ofOneTank_hasNoOther() throws Exception {
    assertThat(json("/api/v1/alarms?tank=h2").path("events").findValuesAsText("tank"))
        .containsOnly("h2")
        .hasSize(3);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "/api/v1/alarms?most=0 | most: must be a whole number 1–500 but was '0'.",
        "/api/v1/alarms?from=yesterday | from: 'yesterday' is not a time",
        "/api/v1/alarms?from=2026-03-14T00:00:00Z&to=2026-03-13T00:00:00Z | is not before to",
        "/api/v1/alarms?before=7 | before: '7' is not what 'next' of an earlier answer was.",
        "/api/v1/alarms?before=-290309-01-01T00:00:00Z_7 | before: '-290309-01-01T00:00:00Z_7' is not what",
        "/api/v1/alarms/figures?week=13 | week: '13' is not a week such as 2026-W13."
      })
  void questionThatMakesNoSense_isRefused_inWords(String path, String words) throws Exception {
    HttpResponse<String> answer = get(path);

    assertThat(answer.statusCode()).isEqualTo(400);
    assertThat(JSON.readTree(answer.body()).at("/errors/0/detail").asText()).contains(words);
  }

  @Test
  void verdict_isKept_andTheFiguresFollow() throws Exception {
    assertThat(post(VERDICT, verdict(true)).statusCode()).isEqualTo(204);
    assertThat(post(VERDICT, verdict(false)).statusCode()).isEqualTo(204);

    JsonNode verdicts = json("/api/v1/alarms").path("verdicts");
    assertThat(verdicts.findValuesAsText("wasTrue")).containsExactly("true", "false");
    assertThat(verdicts.path(0).path("since").asText()).isEqualTo("2026-03-13T02:11:07.000Z");

    JsonNode figures = json("/api/v1/alarms/figures?week=2026-W11");
    assertThat(figures.path("from").asText()).isEqualTo("2026-03-09T02:30:00Z");
    assertThat(figures.path("wakings").findValuesAsText("was")).containsExactly("false");
    assertThat(row(figures, "false-wakings").path("value").asText()).isEqualTo("1");
    assertThat(row(figures, "acknowledged-median").path("value").asText()).isEqualTo("2 min");
    assertThat(row(figures, "calls").path("value").asText())
        .isEqualTo("2 (1 to act now, 0 to go and look, 1 when you can)");
  }

  private static JsonNode row(JsonNode figures, String id) {
    for (JsonNode row : figures.path("rows")) {
      if (row.path("id").asText().equals(id)) {
        return row;
      }
    }
    throw new AssertionError("no row " + id);
  }

  @Test
  void figures_ofAWeekToCome_areEmpty() throws Exception {
    JsonNode figures = json("/api/v1/alarms/figures?week=2026-W20");

    assertThat(row(figures, "calls").path("value").asText()).startsWith("0 ");
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "{\"by\":\"Maren\",\"since\":\"2026-03-13T02:11:07Z\"} | 400 | 'wasTrue' must be true",
        "{\"by\":\"Maren\",\"wasTrue\":true} | 400 | 'since' must be the time",
        "{\"by\":\"Maren\",\"wasTrue\":true,\"since\":\"-290309-01-01T00:00:00Z\"} | 400 | 'since' must be",
        "{\"wasTrue\":true,\"since\":\"2026-03-13T02:11:07Z\"} | 400 | 'by' must be the name",
        "{\"by\":\"Maren\",\"wasTrue\":true,\"since\":\"2026-03-13T02:11:08Z\"} | 404 | knows of no"
      })
  void verdictThatMakesNoSense_isRefused(String body, int status, String words) throws Exception {
    HttpResponse<String> answer = post(VERDICT, body);

    assertThat(answer.statusCode()).isEqualTo(status);
    assertThat(answer.body()).contains(words);
    assertThat(json("/api/v1/alarms").path("verdicts")).isEmpty();
  }

  @Test
  void verdict_whereTheBookIsOnlyRead_isRefused() throws Exception {
    server.close();
    try (FarmBook reader = FarmBook.openReadOnly(folder.resolve("book.db"))) {
      server =
          DashboardServer.start(
              DashboardSettings.onLoopback(0),
              FakeFarm.quiet(),
              new FakeTraces(),
              KeptAlarms.readOnly(reader));

      assertThat(json("/api/v1/alarms").path("takesVerdicts").asBoolean(true)).isFalse();
      HttpResponse<String> answer = post(VERDICT, verdict(true));
      assertThat(answer.statusCode()).isEqualTo(403);
      assertThat(answer.body()).contains("Here the farm book is only read.");
    }
  }

  @Test
  void withoutABook_thatIsSaid() throws Exception {
    server.close();
    server =
        DashboardServer.start(
            DashboardSettings.onLoopback(0), FakeFarm.quiet(), new FakeTraces(), PastAlarms.NONE);

    assertThat(get("/api/v1/alarms").statusCode()).isEqualTo(404);
    assertThat(get("/api/v1/alarms/figures").body()).contains("no farm book yet");
  }

  @Test
  void guide_hasEveryAlarm() throws Exception {
    JsonNode guide = json("/api/v1/alarms/guide");

    for (AlarmCause cause : AlarmCause.values()) {
      assertThat(guide.path(cause.id()).path("actions")).as(cause.id()).isNotEmpty();
      assertThat(guide.path(cause.id()).path("toBeSure").asText()).isNotBlank();
    }
  }
}
