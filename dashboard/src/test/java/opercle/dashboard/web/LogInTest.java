// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.BufferedReader;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import opercle.analysis.publish.TankAct;
import opercle.dashboard.access.Role;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** Logging in and out, and what is done in whose name. */
class LogInTest {

  private static final ObjectMapper JSON = new ObjectMapper();
  private static final String RIGHT =
      "{\"name\":\"maren\",\"password\":\"" + GuardedFarm.PASSWORD + "\"}";

  @TempDir Path folder;
  private GuardedFarm guarded;

  @BeforeEach
  void start() throws Exception {
    guarded = GuardedFarm.in(folder, FakeFarm.troubled(), TrustedProxies.of(List.of("127.0.0.1")));
  }

  @AfterEach
  void stop() {
    guarded.close();
  }

  private String logIn(String... headers) throws Exception {
    HttpResponse<String> answer = guarded.send("POST", "/api/v1/session", RIGHT, headers);
    assertThat(answer.statusCode()).as(answer.body()).isEqualTo(200);
    return answer.headers().firstValue("Set-Cookie").orElseThrow();
  }

  private static String bare(String setCookie) {
    return setCookie.substring(0, setCookie.indexOf(';'));
  }

  @Test
  void cookie_isOutOfReachOfScriptsAndOtherSites_andOverHttpsOfPlainWays() throws Exception {
    guarded.access.add("Maren", Role.KEEP, GuardedFarm.PASSWORD);

    assertThat(logIn())
        .matches(
            "opercle-session=[A-Za-z0-9_-]{43}; Path=/; Max-Age=7776000; HttpOnly; SameSite=Strict");
    assertThat(logIn("X-Forwarded-Proto", "https"))
        .matches(
            "__Host-opercle-session=[A-Za-z0-9_-]{43}; Path=/; Max-Age=7776000; HttpOnly;"
                + " SameSite=Strict; Secure");
  }

  @Test
  void https_isSaidToStay_butNotOnAPlainWay() throws Exception {
    assertThat(guarded.send("GET", "/login", "").headers().firstValue("Strict-Transport-Security"))
        .isEmpty();
    assertThat(
            guarded
                .send("GET", "/login", "", "X-Forwarded-Proto", "https")
                .headers()
                .firstValue("Strict-Transport-Security"))
        .contains("max-age=31536000");
  }

  @Test
  void session_isAnotherOneAtEveryLogIn_andTheOneThatCameIsOver() throws Exception {
    guarded.access.add("Maren", Role.KEEP, GuardedFarm.PASSWORD);
    String planted = "opercle-session=" + "A".repeat(43);

    String first = bare(logIn("Cookie", planted));
    assertThat(first).isNotEqualTo(planted);
    String second = bare(logIn("Cookie", first));

    assertThat(second).isNotEqualTo(first);
    assertThat(name(first)).isEmpty();
    assertThat(name(planted)).isEmpty();
    assertThat(name(second)).isEqualTo("Maren");
  }

  @Test
  void logOut_endsTheSession_andTakesTheCookie() throws Exception {
    String cookie = guarded.cookie("Maren", Role.KEEP);

    HttpResponse<String> answer = guarded.send("DELETE", "/api/v1/session", "", "Cookie", cookie);

    assertThat(answer.statusCode()).isEqualTo(204);
    assertThat(answer.headers().firstValue("Set-Cookie").orElse(""))
        .startsWith("opercle-session=; Path=/; Max-Age=0;");
    assertThat(name(cookie)).isEmpty();
    assertThat(guarded.send("GET", "/api/v1/tanks", "", "Cookie", cookie).statusCode())
        .isEqualTo(401);
  }

  @Test
  void wrongTries_areToldAlike_andHaveToWait_butTheKeeperGetsIn() throws Exception {
    guarded.access.add("Maren", Role.KEEP, GuardedFarm.PASSWORD);
    HttpResponse<String> unknown = wrong("Nobody");
    HttpResponse<String> known = wrong("Maren");

    assertThat(unknown.statusCode()).isEqualTo(401);
    assertThat(known.body()).isEqualTo(unknown.body());
    wrong("Maren");
    wrong("Maren");
    HttpResponse<String> fourth = wrong("Maren");
    assertThat(fourth.statusCode()).isEqualTo(429);
    assertThat(fourth.headers().firstValue("Retry-After")).contains("1");
    assertThat(guarded.send("POST", "/api/v1/session", RIGHT).statusCode()).isEqualTo(429);
    guarded.now = guarded.now.plusSeconds(1);
    assertThat(guarded.send("POST", "/api/v1/session", RIGHT).statusCode()).isEqualTo(200);
  }

  @Test
  void wrongTries_areCountedByTheAddressThatTheProxySaw_notByWhatTheBrowserSays() throws Exception {
    guarded.access.add("Maren", Role.KEEP, GuardedFarm.PASSWORD);
    for (int i = 0; i < 3; i++) {
      wrong("Maren", "X-Forwarded-For", "203.0.113." + i + ", 198.51.100.7");
    }

    assertThat(wrong("Maren", "X-Forwarded-For", "203.0.113.9, 198.51.100.7").statusCode())
        .isEqualTo(429);
    assertThat(wrong("Maren", "X-Forwarded-For", "198.51.100.8").statusCode()).isEqualTo(401);
  }

  @Test
  void act_isInTheNameOfWhoIsLoggedIn_whateverTheFormSays() throws Exception {
    String cookie = guarded.cookie("Maren", Role.KEEP);
    for (String body : List.of("{}", "{\"by\":\"Tove\"}")) {
      String path = "/api/v1/tanks/h2/alarms/gas-line-stopped/acknowledge";
      assertThat(guarded.send("POST", path, body, "Cookie", cookie).statusCode()).isEqualTo(204);
    }

    assertThat(guarded.farm.acts())
        .hasSize(2)
        .allSatisfy(act -> assertThat(((TankAct.OnAlarm) act).by()).isEqualTo("Maren"));
  }

  @Test
  void check_isInTheNameOfWhoIsLoggedIn() throws Exception {
    String cookie = guarded.cookie("Maren", Role.KEEP);
    HttpResponse<String> answer =
        guarded.send(
            "POST",
            "/api/v1/trips/h2/checks",
            "{\"id\":\"c9\",\"time\":\"2026-03-11T02:40:00Z\",\"by\":\"Tove\",\"fish\":\"restless\"}",
            "Cookie",
            cookie);

    assertThat(answer.statusCode()).as(answer.body()).isEqualTo(200);
    for (JsonNode entry : JSON.readTree(answer.body()).path("entries")) {
      if (entry.path("id").asText().equals("c9")) {
        assertThat(entry.path("by").asText()).isEqualTo("Maren");
        return;
      }
    }
    throw new AssertionError("the check is not in the trip: " + answer.body());
  }

  @Test
  void page_leadsToTheWayIn_andBack_andOnlyToOurOwnAddresses() throws Exception {
    guarded.cookie("Maren", Role.KEEP);

    HttpResponse<String> answer = guarded.send("GET", "/tank/h2?from=1&x=%0d%0aSet-Cookie:y", "");

    assertThat(answer.statusCode()).isEqualTo(303);
    assertThat(answer.headers().firstValue("Location"))
        .contains("/login?next=%2Ftank%2Fh2%3Ffrom%3D1%26x%3D%250d%250aSet-Cookie%3Ay");
    assertThat(answer.headers().firstValue("Set-Cookie")).isEmpty();
  }

  @Test
  void ownPassword_isChangedByWhoKnowsTheOldOne_andOtherDevicesAreOut() throws Exception {
    guarded.access.add("Maren", Role.LOOK, GuardedFarm.PASSWORD);
    String here = bare(logIn());
    String elsewhere = bare(logIn());
    String path = "/api/v1/session/password";
    String next = "four lamps and a net";

    HttpResponse<String> wrong =
        guarded.send(
            "PUT",
            path,
            "{\"old\":\"not this one\",\"password\":\"" + next + "\"}",
            "Cookie",
            here);
    assertThat(wrong.statusCode()).isEqualTo(409);
    assertThat(wrong.body()).contains("That is not your present password.");
    String old = "{\"old\":\"" + GuardedFarm.PASSWORD + "\",\"password\":";
    assertThat(guarded.send("PUT", path, old + "\"short\"}", "Cookie", here).statusCode())
        .isEqualTo(409);
    HttpResponse<String> done =
        guarded.send("PUT", path, old + "\"" + next + "\"}", "Cookie", here);
    assertThat(done.statusCode()).as(done.body()).isEqualTo(204);

    String now = bare(done.headers().firstValue("Set-Cookie").orElseThrow());
    assertThat(guarded.send("GET", "/api/v1/tanks", "", "Cookie", now).statusCode()).isEqualTo(200);
    assertThat(guarded.send("GET", "/api/v1/tanks", "", "Cookie", elsewhere).statusCode())
        .isEqualTo(401);
    assertThat(guarded.send("GET", "/api/v1/tanks", "", "Cookie", here).statusCode())
        .isEqualTo(401);
    assertThat(guarded.send("POST", "/api/v1/session", RIGHT).statusCode()).isEqualTo(401);
  }

  @Test
  void token_hasNoPasswordToChange() throws Exception {
    String secret = guarded.access.addToken("script", Role.MANAGE, "Maren").secret();

    assertThat(
            guarded
                .send(
                    "PUT",
                    "/api/v1/session/password",
                    "{\"old\":\"a\",\"password\":\"b\"}",
                    "Authorization",
                    "Bearer " + secret)
                .statusCode())
        .isEqualTo(409);
  }

  @Test
  void firstUser_isNotMadeOverTheNetwork() throws Exception {
    HttpResponse<String> answer =
        guarded.send(
            "POST",
            "/api/v1/users",
            "{\"name\":\"Eve\",\"role\":\"manage\",\"password\":\"bucket window seven perch\"}");

    assertThat(answer.statusCode()).isEqualTo(409);
    assertThat(answer.body()).contains("opercle user add");
    assertThat(guarded.access.users()).isEmpty();
  }

  @Test
  void users_areManaged_butTheLastManagerStays() throws Exception {
    String cookie = guarded.cookie("Maren", Role.MANAGE);
    String add =
        "{\"name\":\"Tove Lind\",\"role\":\"look\",\"password\":\"bucket window seven perch\"}";

    assertThat(manage("POST", "/api/v1/users", add, cookie)).isEqualTo(204);
    assertThat(manage("POST", "/api/v1/users", add, cookie)).isEqualTo(409);
    assertThat(manage("PUT", "/api/v1/users/Tove%20Lind/role", "{\"role\":\"keep\"}", cookie))
        .isEqualTo(204);
    assertThat(
            manage("PUT", "/api/v1/users/Tove%20Lind/password", "{\"password\":\"short\"}", cookie))
        .isEqualTo(409);
    assertThat(manage("DELETE", "/api/v1/users/Maren", "", cookie)).isEqualTo(409);
    assertThat(manage("PUT", "/api/v1/users/Maren/role", "{\"role\":\"look\"}", cookie))
        .isEqualTo(409);
    assertThat(manage("DELETE", "/api/v1/users/Tove%20Lind", "", cookie)).isEqualTo(204);
    assertThat(manage("DELETE", "/api/v1/users/Tove%20Lind", "", cookie)).isEqualTo(409);
  }

  @Test
  @Timeout(30)
  void liveStream_endsWithTheSession() throws Exception {
    String cookie = guarded.cookie("Maren", Role.LOOK);
    HttpResponse<InputStream> stream =
        HttpClient.newHttpClient()
            .send(
                HttpRequest.newBuilder(URI.create(guarded.root() + "/live"))
                    .timeout(Duration.ofSeconds(20))
                    .header("Cookie", cookie)
                    .build(),
                BodyHandlers.ofInputStream());
    assertThat(stream.statusCode()).isEqualTo(200);
    try (var lines =
        new BufferedReader(new InputStreamReader(stream.body(), StandardCharsets.UTF_8))) {
      assertThat(lines.readLine()).isEqualTo("event: stream");
      guarded.access.remove("Maren", true);
      String line = lines.readLine();
      while (line != null) {
        line = lines.readLine(); // the timeout fails a stream that does not end
      }
    }
  }

  private int manage(String method, String path, String body, String cookie) throws Exception {
    return guarded.send(method, path, body, "Cookie", cookie).statusCode();
  }

  private HttpResponse<String> wrong(String name, String... headers) throws Exception {
    return guarded.send(
        "POST",
        "/api/v1/session",
        "{\"name\":\"" + name + "\",\"password\":\"not the password\"}",
        headers);
  }

  private String name(String cookie) throws Exception {
    return JSON.readTree(guarded.send("GET", "/api/v1/session", "", "Cookie", cookie).body())
        .path("name")
        .asText();
  }
}
