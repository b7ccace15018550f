// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.net.http.HttpResponse;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import java.util.stream.Stream;
import opercle.dashboard.calling.KeptPeople;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Who is called, changed while everything runs. */
class PeopleApiTest {

  private static final ObjectMapper JSON = new ObjectMapper();

  @TempDir Path folder;
  private final FakeFarm farm = FakeFarm.quiet();
  private KeptPeople people;
  private DashboardServer server;

  @BeforeEach
  void start() {
    people =
        KeptPeople.in(
            folder,
            """
            people:
              - name: Maren
                channels: [ push, { mail: maren@example.org } ]
            """,
            farm.farm(),
            FakeFarm.NIGHT);
    server =
        DashboardServer.start(
            DashboardSettings.onLoopback(0),
            farm,
            new FakeTraces(),
            PastAlarms.NONE,
            Optional.empty(),
            people.routes());
  }

  @AfterEach
  void stop() {
    server.close();
    people.close();
  }

  private HttpResponse<String> send(String method, String path, String body) throws Exception {
    return ApiCalls.send(server, method, path, body);
  }

  private HttpResponse<String> put(String name, int basedOn, boolean isNew, String person)
      throws Exception {
    return send(
        "PUT",
        "/api/v1/setup/people/" + name,
        "{'by':'Ines','basedOn':%d,'isNew':%s,'person':%s}".formatted(basedOn, isNew, person));
  }

  private JsonNode described() throws Exception {
    return JSON.readTree(send("GET", "/api/v1/setup/people", "").body());
  }

  @Test
  void person_isAdded_andCalledAtOnce_withoutARestart() throws Exception {
    HttpResponse<String> answer =
        put(
            "Tomas",
            1,
            true,
            "{'name':'Tomas','hours':{'from':'18:00','to':'06:00'},"
                + "'channels':[{'mail':'tomas@example.org'},'push']}");

    assertThat(answer.body()).isEqualTo("{\"version\":2}");
    assertThat(send("POST", "/api/v1/people/Tomas/test", "{'by':'Ines'}").statusCode())
        .isEqualTo(202);
    await().until(() -> people.sent.size() == 2);
    assertThat(people.sent).containsExactlyInAnyOrder("Tomas: tomas@example.org", "Tomas: push");
    JsonNode change = described().path("changes").path(0);
    assertThat(change.path("by").asText()).isEqualTo("Ines");
    assertThat(change.path("what").path(0).asText())
        .isEqualTo("Tomas is called too: by mail and notice, from 18:00 to 06:00.");
  }

  @Test
  void changedAddress_isUsedFromNowOn_andCountsAsNeverTested() throws Exception {
    send("POST", "/api/v1/people/Maren/test", "{'channel':'mail'}");
    await().until(() -> states().path("channels").path(1).has("tested"));

    put("Maren", 1, false, "{'name':'Maren','channels':['push',{'mail':'new@example.org'}]}");
    await().until(() -> !states().path("channels").path(1).has("tested"));
    send("POST", "/api/v1/people/Maren/test", "{'channel':'mail'}");

    await().until(() -> people.sent.contains("Maren: new@example.org"));
  }

  private JsonNode states() throws Exception {
    return JSON.readTree(send("GET", "/api/v1/people", "").body()).path("people").path(0);
  }

  @Test
  void allThatIsWrong_isToldAtOnce_eachAtItsField_andNothingIsKept() throws Exception {
    HttpResponse<String> answer =
        put(
            "Tomas",
            1,
            true,
            "{'name':'%s','hours':{'from':'25:00','to':'06:00'},'channels':[{'mail':'tomas at home'},"
                    .formatted("T".repeat(61))
                + "{'webhook':{'url':'http://127.0.0.1:9/x','secretFile':'/etc/passwd'}},"
                + "{'webhook':{'url':'ftp://x'}},{'pigeon':'grey'},{'keep':'webhook'}]}");

    assertThat(answer.statusCode()).isEqualTo(422);
    assertThat(JSON.readTree(answer.body()).path("errors").findValuesAsText("pointer"))
        .containsExactlyInAnyOrder(
            "#/name",
            "#/hours/from",
            "#/channels/0/mail",
            "#/channels/1/webhook/url",
            "#/channels/1/webhook/secretFile",
            "#/channels/2/webhook/url",
            "#/channels/3/pigeon",
            "#/channels/4/keep");
    assertThat(described().path("version").asInt()).isEqualTo(1);
    assertThat(described().path("people")).hasSize(1);
  }

  @Test
  void webhooksAddressAndKey_areNeverShownAgain_andStayWhereTheyAreKept() throws Exception {
    String secret = "a line of pike";
    put(
        "Tomas",
        1,
        true,
        "{'name':'Tomas','channels':[{'webhook':{'url':'https://calls.example.org/in/aBcD',"
            + "'secret':'%s','format':'cap'}}]}".formatted(secret));
    put("Tomas", 2, false, "{'name':'Tomas','channels':['push',{'keep':'webhook'}]}");

    JsonNode way = described().path("people").path(1).path("channels").path(1);
    assertThat(way.path("host").asText()).isEqualTo("calls.example.org");
    assertThat(way.path("signed").asBoolean()).isTrue();
    for (String path :
        new String[] {
          "/api/v1/setup/people", "/api/v1/setup/people.yaml", "/api/v1/people", "/api/v1/calls"
        }) {
      assertThat(send("GET", path, "").body()).as(path).doesNotContain(secret, "aBcD");
    }
    send("POST", "/api/v1/people/Tomas/test", "{'channel':'webhook'}");
    await().until(() -> people.sent.contains("Tomas: https://calls.example.org/in/aBcD"));
    try (Stream<Path> keys = Files.list(folder.resolve("webhook-keys"))) {
      assertThat(keys).singleElement().satisfies(k -> assertThat(k).hasContent(secret));
    }

    send("POST", "/api/v1/setup/people/Tomas/remove", "{'by':'Ines','basedOn':3}");
    try (Stream<Path> keys = Files.list(folder.resolve("webhook-keys"))) {
      assertThat(keys).isEmpty();
    }
  }

  @Test
  void whatAnotherHasChangedMeanwhile_isToldAndNotUndone() throws Exception {
    put("Maren", 1, false, "{'name':'Maren','channels':[{'mail':'maren@example.org'}]}");

    HttpResponse<String> late = put("Maren", 1, false, "{'name':'Maren','channels':['push']}");

    assertThat(late.statusCode()).isEqualTo(409);
    assertThat(JSON.readTree(late.body()).path("detail").asText())
        .isEqualTo(
            "Ines has changed who is called meanwhile: Maren is called by mail, at any hour;"
                + " was: by notice and mail, at any hour. Look at it again, then change it.");
    assertThat(send("POST", "/api/v1/setup/people/Maren/remove", "{'by':'Ines','basedOn':1}"))
        .returns(409, HttpResponse::statusCode);
  }

  @Test
  void person_isNamedAnew_putFirst_andCalledNoLonger() throws Exception {
    put("Tomas", 1, true, "{'name':'Tomas','channels':['push']}");
    send(
        "PUT",
        "/api/v1/setup/people/Tomas",
        "{'by':'Ines','basedOn':2,'place':1,'person':{'name':'Tom','channels':['push']}}");
    assertThat(described().path("people").findValuesAsText("name")).containsExactly("Tom", "Maren");

    HttpResponse<String> twice = put("Tom", 3, false, "{'name':'maren','channels':['push']}");
    assertThat(JSON.readTree(twice.body()).path("errors").path(0).path("detail").asText())
        .isEqualTo("name: \"maren\" is there already.");

    send("POST", "/api/v1/setup/people/Maren/remove", "{'by':'Ines','basedOn':3}");
    assertThat(described().path("people").findValuesAsText("name")).containsExactly("Tom");
    assertThat(send("POST", "/api/v1/people/Maren/test", "{}").statusCode()).isEqualTo(404);
    assertThat(put("Maren", 4, false, "{'name':'Maren','channels':['push']}").statusCode())
        .isEqualTo(404);
  }

  @Test
  void file_isGivenOut_asAPartOfTheConfiguration() throws Exception {
    assertThat(send("GET", "/api/v1/setup/people.yaml", "").body())
        .isEqualTo(
            """
            people:
              - name: "Maren"
                channels:
                  - push
                  - mail: "maren@example.org"
            """);
  }
}
