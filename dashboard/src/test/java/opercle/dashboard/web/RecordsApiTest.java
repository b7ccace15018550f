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
import java.util.List;
import java.util.Optional;
import opercle.analysis.book.FarmBook;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class RecordsApiTest {

  private static final ObjectMapper JSON = new ObjectMapper();
  private static final String MOVEMENT =
      """
      {"species":"Common carp","count":20,"kg":30,"from":"water-stew-2","to":"water-long",
       "departs":"2026-03-25T08:00:00Z","arrives":"2026-03-25T10:00:00Z",
       "permits":["permit-farm","permit-supplier"],"healthChecks":["check-carp"]}
      """;

  @TempDir Path folder;
  private final HttpClient client = HttpClient.newHttpClient();
  private FarmBook book;
  private DashboardServer server;
  private ApiDocument document;

  @BeforeEach
  void start() throws Exception {
    book = FarmBook.open(folder.resolve("book.db"));
    server =
        DashboardServer.start(
            DashboardSettings.onLoopback(0),
            FakeFarm.troubled(),
            new FakeTraces(),
            PastAlarms.NONE,
            Optional.empty(),
            List.of(new KeptRecords(book).api()));
    document = new ApiDocument(JSON.readTree(get("/api/v1/openapi.json").body()));
  }

  @AfterEach
  void stop() {
    server.close();
    book.close();
  }

  @Test
  void records_saySoonestWhatRunsOut() throws Exception {
    JsonNode answer = read("/api/v1/records");

    assertThat(answer.path("writable").booleanValue()).isTrue();
    assertThat(answer.path("entries").findValuesAsText("title"))
        .contains("Stew 2, Sallowmere", "health check HC-88");
    JsonNode first = answer.path("runsOut").path(0);
    assertThat(first.path("title").asText()).isEqualTo("supplier permit SU-3");
    assertThat(first.path("last").asText()).isEqualTo("2026-03-20");
    assertThat(answer.path("runsOut").path(1).path("last").asText()).isEqualTo("2026-03-31");
  }

  @Test
  void movements_showEveryVersion_andWhatTookMoreThanTheBooksHold() throws Exception {
    JsonNode movement = read("/api/v1/records/movements?year=2026").path("movements").path(0);

    assertThat(movement.path("id").asText()).isEqualTo(KeptRecords.SOLD);
    assertThat(movement.path("fields").path("count").asInt()).isEqualTo(118);
    assertThat(movement.path("versions")).hasSize(2);
    assertThat(movement.path("versions").path(1).path("why").asText())
        .isEqualTo("Counted again at the net");
    assertThat(movement.path("overdrawn").path("held").asInt()).isEqualTo(100);
    assertThat(read("/api/v1/records/movements?year=2020").path("movements")).isEmpty();
  }

  @Test
  void check_promptsForWhatIsMissing_andWhatEndsBefore_andKeepsNothing() throws Exception {
    HttpResponse<String> answer = post("/api/v1/records/check", "{\"fields\":" + MOVEMENT + "}");

    assertThat(answer.statusCode()).isEqualTo(200);
    JsonNode said = JSON.readTree(answer.body());
    assertThat(document.faults(schema("POST /api/v1/records/check", "200"), said)).isEmpty();
    assertThat(said.path("prompts").findValuesAsText("words"))
        .contains(
            "No site permit for Long Water is named.",
            "The supplier permit SU-3 ends on 20 Mar 2026, before the fish arrive on 25 Mar 2026."
                + " Our reminder: check the document.");
    assertThat(read("/api/v1/records/movements").path("movements")).hasSize(2);
  }

  @Test
  void entry_isKeptOnce_howeverOftenItIsSent() throws Exception {
    String entry =
        "{\"id\":\"move-new-carp\",\"by\":\"Maren\",\"kind\":\"movement\",\"fields\":"
            + MOVEMENT
            + "}";

    HttpResponse<String> first = post("/api/v1/records/entries", entry);
    assertThat(first.statusCode()).isEqualTo(201);
    assertThat(
            document.faults(
                schema("POST /api/v1/records/entries", "201"), JSON.readTree(first.body())))
        .isEmpty();
    assertThat(post("/api/v1/records/entries", entry).statusCode()).isEqualTo(200);
    assertThat(read("/api/v1/records/movements").path("movements")).hasSize(3);
    assertThat(post("/api/v1/records/entries", entry.replace("Maren", "Tove")).statusCode())
        .isEqualTo(409);
  }

  @Test
  void fieldThatIsWrong_isToldByItsNameOnTheForm_andByTheFarmsClock() throws Exception {
    HttpResponse<String> answer =
        post(
            "/api/v1/records/check",
            "{\"fields\":"
                + MOVEMENT
                    .replace("2026-03-25T08", "2026-10-25T00")
                    .replace("2026-03-25T10", "2026-10-24T10")
                + "}");

    JsonNode problem = JSON.readTree(answer.body());
    assertThat(problem.path("detail").asText())
        .isEqualTo(
            "Arriving: must be 0–14 days after they left, 25 Oct 2026, 01:00 BST, but was"
                + " 24 Oct 2026, 11:00.");
    assertThat(problem.path("errors").path(0).path("pointer").asText())
        .isEqualTo("#/fields/arrives");
    assertThat(problem.path("errors").path(0).path("detail").asText())
        .isEqualTo(
            "arrives: must be 0–14 days after departs, 2026-10-25T00:00:00Z, but was"
                + " 2026-10-24T10:00:00Z.");
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "{} | 400 | by",
        "{'by':'Maren','kind':'fish','fields':{}} | 400 | kind",
        "{'by':'Maren','kind':'party','id':'short','fields':{'name':'Ford'}} | 400 | must be 8–64 letters",
        "{'by':'Maren','kind':'party','id':'party-ford','fields':{}} | 400 | Name: is needed",
        "{'by':'Maren','kind':'party','id':'party-ford'} | 400 | fields",
        "{'by':'Maren','kind':'party','id':'party-ford','fields':{'name':'Ford'},'corrects':'nothing-there','why':'x'}"
            + " | 409 | is not in the records",
        "{'by':'Maren','kind':'party','id':'party-ford','fields':{'name':'Ford'},'corrects':'check-carp'}"
            + " | 400 | Why: must have",
      })
  void entryThatIsWrong_isRefusedByItsField(String body, int status, String words)
      throws Exception {
    HttpResponse<String> answer = post("/api/v1/records/entries", body.replace('\'', '"'));

    assertThat(answer.statusCode()).isEqualTo(status);
    assertThat(answer.headers().firstValue("Content-Type")).contains(Problem.CONTENT_TYPE);
    assertThat(answer.body()).contains(words);
  }

  @Test
  void trace_goesBothWays() throws Exception {
    JsonNode back = read("/api/v1/records/trace?movement=" + KeptRecords.SOLD);
    assertThat(document.faults(schema("GET /api/v1/records/trace", "200"), back)).isEmpty();
    assertThat(back.path("trace").path("ends").path(0).path("name").asText()).isEqualTo("Stew 2");
    assertThat(back.path("trace").path("notKnown").asDouble()).isEqualTo(18.0);

    JsonNode on = read("/api/v1/records/trace?way=forwards&movement=move-counted-in");
    assertThat(on.path("trace").path("ends").path(0).path("name").asText()).isEqualTo("Long Water");
    assertThat(read("/api/v1/records/trace?water=water-long").path("trace").path("fish").asInt())
        .isEqualTo(118);
    assertThat(get("/api/v1/records/trace?water=nowhere").statusCode()).isEqualTo(404);
    assertThat(get("/api/v1/records/trace?movement=nothing").statusCode()).isEqualTo(404);
    assertThat(get("/api/v1/records/trace?water=water-long&way=up").statusCode()).isEqualTo(400);
  }

  @Test
  void register_isAFileOfTheYear() throws Exception {
    HttpResponse<String> file = get("/api/v1/records/register.csv?year=2026");

    assertThat(file.headers().firstValue("Content-Disposition"))
        .contains("attachment; filename=\"movements-2026.csv\"");
    assertThat(file.body().lines()).hasSize(4);
    assertThat(file.body()).contains("corrected").contains("Counted again at the net");
    assertThat(get("/api/v1/records/register.csv?year=soon").statusCode()).isEqualTo(400);
  }

  private JsonNode schema(String operation, String status) {
    return document.operations().stream()
        .filter(o -> o.toString().equals(operation))
        .findFirst()
        .flatMap(o -> document.content(o, status))
        .map(content -> content.values().iterator().next())
        .orElseThrow();
  }

  private JsonNode read(String path) throws Exception {
    HttpResponse<String> answer = get(path);
    assertThat(answer.statusCode()).as(answer.body()).isEqualTo(200);
    return JSON.readTree(answer.body());
  }

  private HttpResponse<String> get(String path) throws Exception {
    return client.send(request(path).build(), BodyHandlers.ofString());
  }

  private HttpResponse<String> post(String path, String body) throws Exception {
    return client.send(
        request(path)
            .header("Content-Type", "application/json")
            .POST(BodyPublishers.ofString(body))
            .build(),
        BodyHandlers.ofString());
  }

  private HttpRequest.Builder request(String path) {
    return HttpRequest.newBuilder(URI.create("http://127.0.0.1:" + server.port() + path))
        .timeout(Duration.ofSeconds(20));
  }
}
