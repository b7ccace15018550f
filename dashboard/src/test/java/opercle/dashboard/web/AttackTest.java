// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import ch.qos.logback.classic.Level;
import ch.qos.logback.classic.Logger;
import ch.qos.logback.classic.spi.ILoggingEvent;
import ch.qos.logback.core.read.ListAppender;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.net.InetAddress;
import java.net.Socket;
import java.net.SocketException;
import java.net.SocketTimeoutException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpRequest.BodyPublishers;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.zip.GZIPOutputStream;
import opercle.analysis.publish.TankAct;
import opercle.dashboard.access.ApiToken;
import opercle.dashboard.access.Role;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.slf4j.LoggerFactory;

/** What somebody who means harm would try, and what comes of it. */
class AttackTest {

  private static final String ACKNOWLEDGE = "/api/v1/tanks/h2/alarms/gas-line-stopped/acknowledge";

  @TempDir Path folder;
  private GuardedFarm guarded;
  private String cookie = "";

  @BeforeEach
  void start() throws Exception {
    guarded = GuardedFarm.in(folder);
    cookie = guarded.cookie("Maren", Role.MANAGE);
  }

  @AfterEach
  void stop() {
    guarded.close();
  }

  @ParameterizedTest
  @CsvSource({
    "Origin, https://evil.example",
    "Origin, null",
    "Sec-Fetch-Site, cross-site",
    "Sec-Fetch-Site, same-site",
    "Sec-Fetch-Site, none"
  })
  void requestFromAnotherSite_withTheKeepersCookie_changesNothing(String header, String value)
      throws Exception {
    for (String path : List.of(ACKNOWLEDGE, "/api/v1/users", "/api/v1/session")) {
      assertThat(guarded.send("POST", path, "{}", "Cookie", cookie, header, value).statusCode())
          .as(path)
          .isEqualTo(403);
    }
    assertThat(guarded.farm.acts()).isEmpty();
  }

  @Test
  void requestThatDoesNotSayFromWhere_changesNothingWithACookie_butWithAToken() throws Exception {
    ApiToken.Made token = guarded.access.addToken("a program", Role.KEEP, "Maren");

    assertThat(guarded.sendBare("POST", ACKNOWLEDGE, "{}", "Cookie", cookie).statusCode())
        .isEqualTo(403);
    assertThat(guarded.farm.acts()).isEmpty();
    assertThat(
            guarded
                .sendBare("POST", ACKNOWLEDGE, "{}", "Authorization", "Bearer " + token.secret())
                .statusCode())
        .isEqualTo(204);
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "text/plain",
        "application/x-www-form-urlencoded",
        "multipart/form-data; boundary=x"
      })
  void bodyThatAFormCanSend_isNotRead(String type) throws Exception {
    assertThat(
            guarded
                .send("POST", ACKNOWLEDGE, "{\"by\":\"x\"}", "Cookie", cookie, "Content-Type", type)
                .statusCode())
        .isEqualTo(415);
    assertThat(guarded.farm.acts()).isEmpty();
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "/assets/..%2f..%2fopenapi.yaml",
        "/assets/%2e%2e%2fyard.html",
        "/assets/..%5cyard.html",
        "/assets/....//yard.html",
        "/assets/yard.js%00.css",
        "/charts/..%2f..%2f..%2f..%2fpom.properties",
        "/assets/%c0%ae%c0%ae%2fyard.html"
      })
  void path_leavesNoFolder(String path) throws Exception {
    HttpResponse<String> answer = raw("GET " + path + " HTTP/1.1");

    assertThat(answer.statusCode()).isIn(400, 404, 303);
    assertThat(answer.body()).doesNotContain("id=\"tanks\"", "openapi:", "Exception", "\tat ");
  }

  @Test
  void packedBody_isRefusedUnread() throws Exception {
    var packed = new ByteArrayOutputStream();
    try (var gzip = new GZIPOutputStream(packed)) {
      gzip.write(new byte[8 << 20]); // 8 MB in 8 kB
    }
    assertThat(packed.size()).isLessThan(16_384);
    HttpResponse<String> answer =
        HttpClient.newHttpClient()
            .send(
                HttpRequest.newBuilder(URI.create(guarded.root() + "/api/v1/trips/import"))
                    .header("Content-Type", "application/json")
                    .header("Content-Encoding", "gzip")
                    .header("Origin", guarded.root())
                    .header("Cookie", cookie)
                    .POST(BodyPublishers.ofByteArray(packed.toByteArray()))
                    .build(),
                BodyHandlers.ofString());

    assertThat(answer.statusCode()).isEqualTo(415);
  }

  @Test
  void bodyThatIsTooLarge_isRefused_alsoWithoutItsLength() throws Exception {
    String large = "{\"by\":\"" + "x".repeat(300_000) + "\"}";

    assertThat(answered(() -> guarded.send("POST", ACKNOWLEDGE, large, "Cookie", cookie)))
        .isEqualTo(413);
    assertThat(answered(() -> guarded.send("POST", "/api/v1/session", large))).isEqualTo(413);
    HttpClient client = HttpClient.newHttpClient();
    int chunked =
        answered(
            () ->
                client.send(
                    HttpRequest.newBuilder(URI.create(guarded.root() + "/api/v1/session"))
                        .header("Content-Type", "application/json")
                        .header("Origin", guarded.root())
                        .POST(
                            BodyPublishers.ofInputStream(
                                () -> new java.io.ByteArrayInputStream(large.getBytes(UTF_8))))
                        .build(),
                    BodyHandlers.ofString()));
    assertThat(chunked).isEqualTo(413);
  }

  /**
   * The status. The server hangs up on what is too large, and where that comes before the client
   * has sent it all, the answer may be lost on the way: then it is asked again.
   */
  private static int answered(Callable<HttpResponse<String>> sending) throws Exception {
    IOException last = new IOException("never asked");
    for (int i = 0; i < 20; i++) {
      try {
        return sending.call().statusCode();
      } catch (IOException e) {
        last = e;
      }
    }
    throw last;
  }

  /** Fails by the timeout if the server goes on listening. */
  @Test
  @Timeout(60)
  void bodyThatDripsIn_isHungUpOn() throws Exception {
    try (Socket socket = new Socket(InetAddress.getLoopbackAddress(), guarded.server.port())) {
      socket.setSoTimeout(100);
      socket
          .getOutputStream()
          .write(
              String.join(
                      "\r\n",
                      "POST /api/v1/session HTTP/1.1",
                      "Host: localhost",
                      "Origin: http://localhost",
                      "Content-Type: application/json",
                      "Content-Length: 200",
                      "",
                      "")
                  .getBytes(UTF_8));
      assertThat(hungUpWhileDripping(socket)).isTrue();
    }
  }

  /** A byte after every tenth of a second in which nothing came back. */
  private static boolean hungUpWhileDripping(Socket socket) throws IOException {
    InputStream in = socket.getInputStream();
    for (int i = 0; i < 199; i++) {
      try {
        socket.getOutputStream().write(' ');
        int unused = in.read();
        return true; // an answer, or the end, before the body was whole
      } catch (SocketTimeoutException nothingYet) {
        assertThat(socket.isClosed()).isFalse(); // the next byte
      } catch (SocketException gone) {
        return true;
      }
    }
    return false;
  }

  @Test
  void lineBreaksInNames_reachNoHeader() throws Exception {
    String evil = "a\r\nSet-Cookie: x=y\r\n\r\n<script>";
    HttpResponse<String> begun =
        guarded.send(
            "POST",
            "/api/v1/trips",
            "{\"id\":\"n1\",\"time\":\"2026-03-14T01:00:00Z\",\"tank\":\"t1\",\"vehicle\":\""
                + evil
                + "\",\"from\":\""
                + evil
                + "\",\"to\":\""
                + evil
                + "\"}",
            "Cookie",
            cookie);
    if (begun.statusCode() == 201) {
      for (String ending : List.of("report.pdf", "trip.json", "readings.csv", "picture.svg")) {
        HttpResponse<String> file =
            guarded.send("GET", "/api/v1/trips/n1/" + ending, "", "Cookie", cookie);
        assertThat(file.headers().firstValue("Set-Cookie")).as(ending).isEmpty();
        assertThat(file.headers().firstValue("Content-Disposition").orElse("attachment"))
            .doesNotContain("<", "\r", "\n");
      }
      assertThat(guarded.send("GET", "/trips/n1/report", "", "Cookie", cookie).body())
          .doesNotContain("<script>");
    } else {
      assertThat(begun.statusCode()).as(begun.body()).isIn(400, 422);
    }
    HttpResponse<String> answer =
        raw("GET /%0d%0aSet-Cookie:%20x=y HTTP/1.1", "X-Forwarded-For: a%0d%0ab");
    assertThat(answer.headers().firstValue("Set-Cookie")).isEmpty();
  }

  @Test
  void twoAtOnce_useALinkOnce() throws Exception {
    String path = guarded.link();
    ExecutorService two = Executors.newFixedThreadPool(8);
    try {
      List<Callable<Integer>> presses = new ArrayList<>();
      for (int i = 0; i < 8; i++) {
        presses.add(() -> guarded.send("POST", path, "").statusCode());
      }
      List<Integer> statuses = new ArrayList<>();
      for (Future<Integer> press : two.invokeAll(presses)) {
        statuses.add(press.get());
      }

      // Who is told "you have it" has it, by whichever press; it is done once.
      assertThat(statuses).contains(200).isSubsetOf(200, 409);
      assertThat(guarded.farm.acts()).hasSize(1);
      assertThat(((TankAct.OnAlarm) guarded.farm.acts().get(0)).by()).isEqualTo("Tove");
    } finally {
      two.shutdownNow();
    }
  }

  @Test
  void log_holdsNoSecret() throws Exception {
    Logger root = (Logger) LoggerFactory.getLogger(org.slf4j.Logger.ROOT_LOGGER_NAME);
    Level before = root.getLevel();
    var lines = new ListAppender<ILoggingEvent>();
    lines.start();
    root.addAppender(lines);
    Logger ours = (Logger) LoggerFactory.getLogger("opercle");
    Level oursBefore = ours.getLevel();
    ours.setLevel(Level.TRACE);
    List<String> secrets = new ArrayList<>();
    try {
      String wrong = "this password is wrong";
      String right = "bucket window seven perch";
      secrets.addAll(List.of(wrong, right));
      guarded.access.add("Tove", Role.KEEP, right);
      for (String password : List.of(wrong, right)) {
        HttpResponse<String> answer =
            guarded.send(
                "POST", "/api/v1/session", "{\"name\":\"Tove\",\"password\":\"" + password + "\"}");
        answer.headers().firstValue("Set-Cookie").ifPresent(c -> secrets.add(c.substring(16, 59)));
      }
      ApiToken.Made token = guarded.access.addToken("display", Role.LOOK, "Maren");
      secrets.add(token.secret());
      guarded.send("GET", "/api/v1/tanks", "", "Authorization", "Bearer " + token.secret());
      guarded.send("GET", "/api/v1/tanks", "", "Authorization", "Bearer " + token.secret() + "x");
      String link = guarded.link();
      secrets.add(link.substring("/have/".length()));
      guarded.send("POST", link, "");
      guarded.send("POST", "/api/v1/session", "{\"password\":\"" + wrong + "\"");
    } finally {
      root.detachAppender(lines);
      ours.setLevel(oursBefore);
      root.setLevel(before);
    }

    assertThat(secrets).hasSize(5);
    String all = String.join("\n", lines.list.stream().map(AttackTest::whole).toList());
    assertThat(all).contains("a log-in from").doesNotContain(secrets);
  }

  private static String whole(ILoggingEvent event) {
    return event.getFormattedMessage()
        + (event.getThrowableProxy() == null ? "" : event.getThrowableProxy().getMessage());
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "/tank/%3Cimg%20src=x%20onerror=alert(1)%3E",
        "/nowhere/%3Cscript%3E",
        "/api/v1/tanks/%3Cscript%3E/trace",
        "/api/v1/alarms?tank=%3Cscript%3E&most=%3Cscript%3E",
        "/login?next=%22%3E%3Cscript%3E",
        "/trips/%3Cscript%3E",
        "/have/%3Cscript%3E"
      })
  void wordsOfAnAddress_comeBackAsNoMarkup(String path) throws Exception {
    HttpResponse<String> answer = guarded.send("GET", path, "", "Cookie", cookie);

    boolean html = answer.headers().firstValue("Content-Type").orElse("").contains("html");
    assertThat(html && answer.body().contains("onerror")).isFalse();
    assertThat(html && answer.body().contains("<script>")).isFalse();
    assertThat(answer.headers().firstValue("X-Content-Type-Options")).contains("nosniff");
  }

  /** As it is written here: a client library would put some of it right. */
  private HttpResponse<String> raw(String line, String... headers) throws IOException {
    return RawAnswer.of(guarded.server.port(), line, headers);
  }
}
