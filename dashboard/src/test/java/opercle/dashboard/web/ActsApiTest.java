// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.time.Duration;
import java.util.Optional;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.RefusedActException;
import opercle.analysis.publish.TankAct;
import opercle.analysis.publish.TankAct.OnAlarm;
import opercle.analysis.publish.TankAct.OnAlarm.What;
import opercle.analysis.watch.TankEvent;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

/** What people do, as a program sends it. */
class ActsApiTest {

  private static final ObjectMapper JSON = new ObjectMapper();

  private final FakeFarm farm = FakeFarm.troubled();
  private final DashboardServer server =
      DashboardServer.start(DashboardSettings.onLoopback(0), farm, new FakeTraces());
  private final HttpClient client = HttpClient.newHttpClient();

  @AfterEach
  void stop() {
    server.close();
  }

  @ParameterizedTest
  @EnumSource(
      value = What.class,
      names = {"ACKNOWLEDGE", "SILENCE", "RESET", "UNSHELVE"})
  void actOnAnAlarm_reachesTheWatch_byName(What what) throws Exception {
    assertThat(post("h2/alarms/gas-line-stopped/" + what.id(), "{\"by\":\" Maren \"}").statusCode())
        .isEqualTo(204);

    assertThat(farm.acts())
        .containsExactly(OnAlarm.of("h2", AlarmCause.GAS_LINE_STOPPED, what, "Maren"));
  }

  @Test
  void noteSentTwice_withItsId_isOne() throws Exception {
    post("h2/events", "{\"id\":\"n1\",\"by\":\"Maren\",\"kind\":\"fed\"}");
    post("h2/events", "{\"id\":\"n1\",\"by\":\"Maren\",\"kind\":\"fed\"}");
    post("h2/events", "{\"id\":\"n2\",\"by\":\"Maren\",\"kind\":\"fed\"}");

    assertThat(farm.acts()).hasSize(2);
  }

  @Test
  void otherActs_reachTheWatch_withWhatTheyNeed() throws Exception {
    post("h2/alarms/gas-line-stopped/shelve", "{\"by\":\"Maren\",\"minutes\":20}");
    post("h2/out-of-service", "{\"by\":\"Maren\",\"minutes\":90,\"reason\":\"new diffusers\"}");
    post("h2/return-to-service", "{\"by\":\"Maren\",\"cause\":\"water-warm\"}");
    post("h2/events", "{\"by\":\"Maren\",\"kind\":\"fish-added\"}");

    assertThat(farm.acts())
        .containsExactly(
            new OnAlarm(
                "h2",
                AlarmCause.GAS_LINE_STOPPED,
                What.SHELVE,
                "Maren",
                Optional.of(Duration.ofMinutes(20))),
            new TankAct.TakeOutOfService(
                "h2", Optional.empty(), "new diffusers", "Maren", Duration.ofMinutes(90)),
            new TankAct.ReturnToService("h2", Optional.of(AlarmCause.WATER_WARM), "Maren"),
            new TankAct.Note("h2", TankEvent.Kind.FISH_ADDED, "Maren"));
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "h2/alarms/gas-line-stopped/shelve | {\"by\":\"x\"}                  | 400 | 'minutes' must",
        "h2/alarms/gas-line-stopped/shelve | {\"by\":\"x\",\"minutes\":-1}   | 400 | 'minutes' must",
        "h2/alarms/gas-line-stopped/reset  | {}                              | 400 | 'by' must",
        "h2/alarms/water-warm/silence      | {\"by\":\"x\"}                  | 404 | may have cleared",
        "h9/events                         | {\"by\":\"x\",\"kind\":\"fed\"} | 404 | no such tank",
        "h2/events                         | {\"by\":\"x\",\"kind\":\"sung\"}| 400 | 'kind' must be one of fish-added",
        "h2/return-to-service              | {\"by\":\"x\",\"cause\":\"moon\"}| 404 | no such alarm"
      })
  void actThatLacksSomething_isRefused_andSaysWhat(
      String path, String body, int status, String words) throws Exception {
    HttpResponse<String> answer = post(path, body);

    assertThat(answer.statusCode()).isEqualTo(status);
    assertThat(answer.body()).contains(words);
    assertThat(farm.acts()).isEmpty();
  }

  @Test
  void actThatMustNotBeDone_isAConflict_withTheReasonInWords() throws Exception {
    farm.refuse(new RefusedActException("Nothing else watches the oxygen of Holding 2."));

    HttpResponse<String> answer =
        post("h2/alarms/gas-line-stopped/shelve", "{\"by\":\"Maren\",\"minutes\":20}");

    assertThat(answer.statusCode()).isEqualTo(409);
    assertThat(problem(answer)).isEqualTo("Nothing else watches the oxygen of Holding 2.");
  }

  @Test
  void actThatTheWatchDoesNotHave_isNotAnsweredAsDone() throws Exception {
    farm.refuse(new NotPassedOnException("The watch does not have this: the broker is away."));

    HttpResponse<String> answer =
        post("h2/alarms/gas-line-stopped/acknowledge", "{\"by\":\"Maren\"}");

    assertThat(answer.statusCode()).isEqualTo(503);
    assertThat(problem(answer)).contains("the broker is away");
  }

  private static String problem(HttpResponse<String> answer) throws Exception {
    assertThat(answer.headers().firstValue("Content-Type")).contains(Problem.CONTENT_TYPE);
    JsonNode problem = JSON.readTree(answer.body());
    assertThat(problem.path("status").asInt()).isEqualTo(answer.statusCode());
    return problem.path("detail").asText();
  }

  private HttpResponse<String> post(String path, String body) throws Exception {
    HttpRequest request =
        HttpRequest.newBuilder(
                URI.create("http://127.0.0.1:" + server.port() + "/api/v1/tanks/" + path))
            .header("Content-Type", "application/json")
            .POST(HttpRequest.BodyPublishers.ofString(body, UTF_8))
            .build();
    return client.send(request, HttpResponse.BodyHandlers.ofString(UTF_8));
  }
}
