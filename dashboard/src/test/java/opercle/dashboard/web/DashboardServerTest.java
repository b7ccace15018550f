// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.InputStream;
import java.net.InetAddress;
import java.net.Socket;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;
import java.time.Duration;
import java.util.Optional;
import java.util.Set;
import java.util.zip.GZIPInputStream;
import opercle.analysis.alarm.AlarmState;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** The addresses, as a program sees them. */
class DashboardServerTest {

  private static final ObjectMapper JSON = new ObjectMapper();

  private final FakeFarm farm = FakeFarm.troubled();
  private final DashboardServer server =
      DashboardServer.start(
          new DashboardSettings(DashboardSettings.LOOPBACK, 0, Set.of("Fish.example.org")),
          farm,
          new FakeTraces());
  private final HttpClient client = HttpClient.newHttpClient();

  @AfterEach
  void stop() {
    server.close();
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "/",
        "/tank/h2",
        "/evening",
        "/plan",
        "/not-taken",
        "/monitor",
        "/alarms",
        "/alarms/figures"
      })
  void page_isHtml_thatRunsNothingFromElsewhere(String path) throws Exception {
    HttpResponse<String> page = get(path);

    assertThat(page.statusCode()).isEqualTo(200);
    assertThat(page.headers().firstValue("Content-Type").orElse("")).startsWith("text/html");
    assertThat(page.headers().firstValue("Content-Security-Policy").orElse(""))
        .contains("default-src 'none'", "script-src 'self'", "frame-ancestors 'none'")
        .doesNotContain("unsafe", "http:", "https:");
    assertThat(page.headers().firstValue("X-Content-Type-Options")).contains("nosniff");
    assertThat(page.headers().firstValue("Referrer-Policy")).contains("no-referrer");
    assertThat(page.headers().firstValue("Server")).isEmpty();
    assertThat(page.body()).doesNotContain("http://", "https://", "style=", "onclick");
  }

  @ParameterizedTest
  @CsvSource({
    "/assets/yard.js, text/javascript",
    "/assets/base.css, text/css",
    "/assets/mark.svg, image/svg+xml",
    "/charts/uPlot.esm.js, text/javascript",
    "/charts/uPlot.min.css, text/css"
  })
  void asset_comesFromTheJar_withItsType(String path, String type) throws Exception {
    HttpResponse<String> asset = get(path);

    assertThat(asset.statusCode()).isEqualTo(200);
    assertThat(asset.headers().firstValue("Content-Type").orElse("")).startsWith(type);
    assertThat(asset.headers().firstValue("X-Content-Type-Options")).contains("nosniff");
  }

  @Test
  void asset_thatTheBrowserHas_isNotSentAgain() throws Exception {
    String tag = get("/assets/yard.js").headers().firstValue("ETag").orElseThrow();

    HttpResponse<String> again =
        send(request("/assets/yard.js").setHeader("If-None-Match", tag).build());
    HttpResponse<String> other =
        send(request("/assets/tank.js").setHeader("If-None-Match", tag).build());

    assertThat(again.statusCode()).isEqualTo(304);
    assertThat(again.body()).isEmpty();
    assertThat(other.statusCode()).isEqualTo(200);
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "/tank/h9",
        "/nowhere",
        "/assets/nothing.js",
        "/assets/..%2fyard.html",
        "/charts/..",
        "/charts/package.json"
      })
  void address_thatIsNotThere_isRefused(String path) throws Exception {
    HttpResponse<String> answer = get(path);

    assertThat(answer.statusCode()).isBetween(400, 404);
    assertThat(answer.body()).doesNotContain("Exception", "\tat ");
  }

  @Test
  void tanks_haveDescriptionAndState_inUnitsOfTheName() throws Exception {
    JsonNode answer = JSON.readTree(get("/api/v1/tanks").body());

    assertThat(answer.path("farm").asText()).isEqualTo("Sallowmere");
    JsonNode tank = answer.path("tanks").path(1);
    assertThat(tank.path("name").asText()).isEqualTo("Holding 2");
    assertThat(tank.path("floors").path("keepMgPerL").asDouble()).isEqualTo(6.0);
    assertThat(tank.path("loads").path(0).path("kg").asDouble()).isEqualTo(280.0);
    JsonNode state = tank.path("state");
    assertThat(state.path("oxygenMgPerL").asDouble()).isEqualTo(8.3);
    assertThat(state.path("timeInHand").path("likely").asDouble()).isEqualTo(31.5);
    assertThat(state.path("alarms").path(0).path("cause").asText()).isEqualTo("gas-line-stopped");
  }

  @Test
  void state_withoutAReading_leavesTheFieldOut() throws Exception {
    JsonNode state = JSON.readTree(get("/api/v1/tanks").body()).path("tanks").path(3).path("state");

    assertThat(state.has("oxygenMgPerL")).isFalse();
    assertThat(state.path("timeInHand").path("is").asText()).isEqualTo("unknown");
  }

  @Test
  void trace_ofOxygen_hasPointsAndTheLevelAtSaturation() throws Exception {
    JsonNode trace = JSON.readTree(get("/api/v1/tanks/h2/trace?quantity=oxygen&points=24").body());

    assertThat(trace.path("unit").asText()).isEqualTo("mg/L");
    JsonNode points = trace.path("probes").path(0).path("points");
    assertThat(points).as("whole hours that hold the day up to 02:11").hasSize(25);
    assertThat(trace.path("partSeconds").asInt()).isEqualTo(3600);
    assertThat(trace.path("from").asText()).isEqualTo("2026-03-13T02:00:00Z");
    assertThat(trace.path("to").asText()).isEqualTo("2026-03-14T03:00:00Z");
    JsonNode first = points.path(0);
    assertThat(first.path(1).asDouble()).isLessThanOrEqualTo(first.path(2).asDouble());
    assertThat(first.path(2).asDouble()).isLessThanOrEqualTo(first.path(3).asDouble());
    // Standard Methods 4500-O: 10.6 mg/L at 12.6 °C and one atmosphere; 40 m up takes 0.5 % off.
    assertThat(trace.path("saturation").path(12).path(1).asDouble()).isBetween(10.2, 11.0);
  }

  @Test
  void headOfTheLiveStream_isNotAListener() throws Exception {
    HttpRequest head = request("/live").method("HEAD", HttpRequest.BodyPublishers.noBody()).build();

    HttpResponse<String> answer = send(head);

    assertThat(answer.headers().firstValue("Content-Type").orElse(""))
        .startsWith("text/event-stream");
    assertThat(server.listening()).isZero();
  }

  @Test
  void trace_ofOneProbe_leavesOthersOut() throws Exception {
    assertThat(JSON.readTree(get("/api/v1/tanks/h2/trace?probe=2").body()).path("probes"))
        .isEmpty();
    assertThat(JSON.readTree(get("/api/v1/tanks/h2/trace?probe=1").body()).path("probes"))
        .hasSize(1);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "quantity=happiness | quantity: there is no 'happiness'.",
        "points=0 | points: must be a whole number 1–2000 but was '0'.",
        "points=many | points: must be a whole number 1–2000 but was 'many'.",
        "from=yesterday | from: 'yesterday' is not a time such as 2026-03-14T02:11:07Z.",
        "from=2026-03-14T03:00:00Z&to=2026-03-14T02:00:00Z |"
            + " from: 2026-03-14T03:00:00Z is not before to: 2026-03-14T02:00:00Z.",
        "from=2025-03-14T03:00:00Z |"
            + " from, to: 2025-03-14T03:00:00Z to 2026-03-14T02:11:07Z is longer than 31 days.",
        "to=-1000000000-01-01T00:00:00Z |"
            + " to: -1000000000-01-01T00:00:00Z is not between 1970-01-01T00:00:00Z and"
            + " 2200-01-01T00:00:00Z.",
        "from=9999-03-14T03:00:00Z |"
            + " from: 9999-03-14T03:00:00Z is not between 1970-01-01T00:00:00Z and"
            + " 2200-01-01T00:00:00Z.",
        "points=5&points=6 | points: is given 2 times."
      })
  void trace_withABadQuestion_saysWhichFieldAndLimit(String query, String detail) throws Exception {
    HttpResponse<String> answer = get("/api/v1/tanks/h2/trace?" + query);

    problem(answer, 400, "What this page sent cannot be used here.");
    assertThat(JSON.readTree(answer.body()).at("/errors/0/detail").asText()).isEqualTo(detail);
  }

  @Test
  void unknownTank_isAProblem() throws Exception {
    problem(get("/api/v1/tanks/h9/trace"), 404, "This farm has no such tank");
    problem(get("/api/v1/nothing"), 404, "There is nothing at this address.");
  }

  @Test
  void acknowledge_byAName_isTakenBoth() throws Exception {
    HttpResponse<String> answer = acknowledge("gas-line-stopped", "{\"by\":\" Maren \"}");

    assertThat(answer.statusCode()).isEqualTo(204);
    assertThat(farm.state("h2").alarms().get(0).state()).isEqualTo(AlarmState.ACKNOWLEDGED);
    assertThat(farm.state("h2").alarms().get(0).acknowledgedBy()).contains("Maren");
  }

  @ParameterizedTest
  @ValueSource(
      strings = {"{}", "{\"by\":\"\"}", "{\"by\":7}", "[]", "not json", "{\"by\":\"a\\nb\"}", ""})
  void acknowledge_withoutAName_isRefused(String body) throws Exception {
    HttpResponse<String> answer = acknowledge("gas-line-stopped", body);

    assertThat(answer.statusCode()).isEqualTo(400);
    assertThat(answer.headers().firstValue("Content-Type")).contains("application/problem+json");
    assertThat(farm.state("h2").alarms().get(0).state()).isEqualTo(AlarmState.UNACKNOWLEDGED);
  }

  @Test
  void acknowledge_ofWhatDoesNotStand_isNotFound() throws Exception {
    problem(acknowledge("water-warm", "{\"by\":\"Maren\"}"), 404, "It may have cleared.");
    problem(acknowledge("too-quiet", "{\"by\":\"Maren\"}"), 404, "There is no such alarm.");
  }

  @Test
  void acknowledge_asAForm_isRefused() throws Exception {
    HttpRequest form =
        post("gas-line-stopped", "{\"by\":\"x\"}").setHeader("Content-Type", "text/plain").build();

    problem(send(form), 415, "Content-Type must be application/json.");
  }

  @Test
  void acknowledge_withAHugeBody_isRefused() throws Exception {
    HttpResponse<String> answer =
        acknowledge("gas-line-stopped", "{\"by\":\"%s\"}".formatted("x".repeat(30_000)));

    assertThat(answer.statusCode()).isEqualTo(413);
  }

  @ParameterizedTest
  @ValueSource(strings = {"https://elsewhere.example", "null", "http://127.0.0.1:1"})
  void acknowledge_fromAnotherSite_isForbidden(String origin) throws Exception {
    HttpRequest foreign =
        post("gas-line-stopped", "{\"by\":\"x\"}").setHeader("Origin", origin).build();

    problem(send(foreign), 403, "this came from another site");
    assertThat(farm.state("h2").alarms().get(0).state()).isEqualTo(AlarmState.UNACKNOWLEDGED);
  }

  @Test
  void acknowledge_fromOurOwnPage_isTaken() throws Exception {
    String origin = "http://127.0.0.1:" + server.port();
    HttpRequest own =
        post("gas-line-stopped", "{\"by\":\"x\"}").setHeader("Origin", origin).build();

    assertThat(send(own).statusCode()).isEqualTo(204);
  }

  @ParameterizedTest
  @CsvSource({
    "127.0.0.1, 200",
    "localhost:8080, 200",
    "[::1]:8080, 200",
    "barn, 200",
    "barn.local, 200",
    "fish.example.org, 200",
    "elsewhere.example, 421",
    "127.0.0.1.elsewhere.example, 421",
    "localhost.elsewhere.example, 421"
  })
  void hostName_thatAnotherSiteCouldOwn_isNotAnswered(String host, int status) throws Exception {
    assertThat(statusFor(host, "/api/v1/tanks")).isEqualTo(status);
    assertThat(statusFor(host, "/assets/yard.js")).isEqualTo(status);
  }

  @Test
  void evening_isAnsweredWorstFirst_andNotYetWhileAnAlarmStands() throws Exception {
    JsonNode answer = JSON.readTree(get("/api/v1/evening").body());

    assertThat(answer.path("type").asText()).isEqualTo("evening");
    assertThat(answer.path("canGoToBed").booleanValue()).isFalse();
    assertThat(answer.path("tanks")).hasSize(5);
    assertThat(answer.path("tanks").path(0).path("answer").asText()).isEqualTo("no");
    for (JsonNode check : answer.path("tanks").path(0).path("checks")) {
      assertThat(check.has("action")).isEqualTo(!check.path("answer").asText().equals("yes"));
    }
  }

  @Test
  void notTaken_isCountedByReason_withTheLatest() throws Exception {
    JsonNode answer = JSON.readTree(get("/api/v1/not-taken").body());

    assertThat(answer.path("total").asInt()).isEqualTo(15);
    assertThat(answer.path("counts").path("unknown-tank").asInt()).isEqualTo(12);
    assertThat(answer.path("latest").path(0).path("detail").asText()).contains("85.0 °C");
  }

  @Test
  void takenPort_isOneClearException() {
    var settings = DashboardSettings.onLoopback(server.port());

    assertThatThrownBy(() -> DashboardServer.start(settings, farm, new FakeTraces()))
        .isInstanceOf(PortTakenException.class)
        .hasMessageContaining("127.0.0.1 port " + server.port());
  }

  @Test
  void firstPage_withAllItsFiles_isSmall() throws Exception {
    long bytes = 0;
    for (String path : FirstPage.FILES) {
      bytes += compressed(path);
    }

    assertThat(bytes).isLessThan(150_000);
  }

  private long compressed(String path) throws Exception {
    HttpRequest request = request(path).setHeader("Accept-Encoding", "gzip").build();
    HttpResponse<byte[]> answer = client.send(request, BodyHandlers.ofByteArray());
    assertThat(answer.statusCode()).as(path).isEqualTo(200);
    if (answer.headers().firstValue("Content-Encoding").equals(Optional.of("gzip"))) {
      try (InputStream in = new GZIPInputStream(new java.io.ByteArrayInputStream(answer.body()))) {
        assertThat(in.readAllBytes()).isNotEmpty();
      }
    }
    return answer.body().length;
  }

  private static void problem(HttpResponse<String> answer, int status, String detail)
      throws IOException {
    assertThat(answer.statusCode()).isEqualTo(status);
    assertThat(answer.headers().firstValue("Content-Type")).contains("application/problem+json");
    JsonNode body = JSON.readTree(answer.body());
    assertThat(body.path("status").asInt()).isEqualTo(status);
    assertThat(body.path("title").asText()).isNotEmpty();
    assertThat(body.path("detail").asText()).contains(detail);
  }

  private HttpResponse<String> get(String path) throws Exception {
    return send(request(path).build());
  }

  private HttpResponse<String> acknowledge(String cause, String body) throws Exception {
    return send(post(cause, body).build());
  }

  private HttpRequest.Builder post(String cause, String body) {
    return request("/api/v1/tanks/h2/alarms/" + cause + "/acknowledge")
        .header("Content-Type", "application/json")
        .POST(HttpRequest.BodyPublishers.ofString(body));
  }

  private HttpRequest.Builder request(String path) {
    return HttpRequest.newBuilder(URI.create("http://127.0.0.1:" + server.port() + path))
        .timeout(Duration.ofSeconds(10));
  }

  private HttpResponse<String> send(HttpRequest request) throws Exception {
    return client.send(request, BodyHandlers.ofString());
  }

  /** The client of the JDK does not let a program choose the name; a plain socket does. */
  private int statusFor(String host, String path) throws IOException {
    try (var socket = new Socket(InetAddress.getLoopbackAddress(), server.port())) {
      String request = "GET %s HTTP/1.1\r\nHost: %s\r\nConnection: close\r\n\r\n";
      socket.getOutputStream().write(request.formatted(path, host).getBytes(UTF_8));
      String answer = new String(socket.getInputStream().readAllBytes(), UTF_8);
      return Integer.parseInt(answer.substring(9, 12));
    }
  }
}
