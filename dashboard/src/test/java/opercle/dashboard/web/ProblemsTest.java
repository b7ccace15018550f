// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.InetAddress;
import java.net.Socket;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import opercle.ingest.store.StoreException;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Whatever is refused, and by whatever part, is told as problem details (RFC 9457). */
class ProblemsTest {

  private static DashboardServer server;

  @BeforeAll
  static void start() {
    server =
        DashboardServer.start(
            DashboardSettings.onLoopback(0),
            FakeFarm.troubled(),
            new Traces() {
              @Override
              public List<Series> series(String tank) {
                throw new UncheckedIOException(new IOException("the disk is full"));
              }

              @Override
              public List<Bucket> buckets(Series series, Instant from, Instant to, int count) {
                return List.of();
              }

              @Override
              public List<Reading> readings(Series series, Instant from, Instant to) {
                return List.of();
              }
            },
            PastAlarms.NONE,
            Optional.empty(),
            List.of(
                routes ->
                    routes.get(
                        "/stumbles",
                        ctx -> {
                          throw new IllegalStateException("no such luck");
                        }),
                new TripRoutes(
                    FakeFarm.troubled(),
                    new FakeTraces(),
                    PastAlarms.NONE,
                    () -> {
                      throw new StoreException("the readings store could not be read");
                    })));
  }

  /** Whoever followed a link to a page reads a page. */
  @Test
  void pageThatCannotBeShown_isAPage() throws Exception {
    String answer =
        answer("GET /trips/t1/report HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n");

    assertThat(answer)
        .startsWith("HTTP/1.1 503 ")
        .contains("text/html", "This page cannot be shown just now")
        .doesNotContain("about:blank", "readings store");
  }

  /**
   * What a browser is refused is a page, too, with a way on: method, path, more headers, status.
   */
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "GET | /nowhere | | 404",
        "GET | /tank/h9 | | 404",
        "GET | /tank/h2/more | | 404",
        "GET | /trips/t1 | | 503",
        "GET | /assets/none.js | | 404",
        "GET | /stumbles | | 500",
        "GET | /records/register?year=soon | | 404",
        "GET | /tank/h2;x=1 | | 400",
        "POST | / | Content-Type: application/json | 405",
        "DELETE | /tank/h2 | | 405",
        "PUT | /alarms | Content-Type: application/json | 405",
        "POST | /plan | Content-Type: application/x-www-form-urlencoded | 415",
        "POST | /plan | Origin: https://elsewhere.example | 403",
        "GET | / | Host: elsewhere.example | 421",
      })
  void whatABrowserIsRefused_isAPage_withAWayOn(String method, String path, String more, int status)
      throws Exception {
    String host = more != null && more.startsWith("Host:") ? "" : "Host: 127.0.0.1\r\n";
    String header = more == null ? "" : more + "\r\n";

    String answer =
        answer(
            "%s %s HTTP/1.1\r\n%sAccept: text/html,*/*;q=0.8\r\n%sContent-Length: 0\r\nConnection: close\r\n\r\n"
                .formatted(method, path, host, header));

    assertThat(answer).startsWith("HTTP/1.1 " + status + " ");
    int end = answer.indexOf("\r\n\r\n");
    assertThat(answer.substring(0, end).toLowerCase(java.util.Locale.ROOT))
        .contains("content-type: text/html");
    assertThat(answer).contains("<h1>", "<a href=\"/\">All tanks</a>");
    String main = answer.substring(answer.indexOf("<main"), answer.indexOf("</main>"));
    assertThat(RefusalWordsTest.wrongIn(main.replaceAll("<[^>]*>", " ").strip())).isEmpty();
  }

  @AfterAll
  static void stop() {
    server.close();
  }

  /** Method, path, further headers, body (repeated so many times), status. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "GET | /api/v1/nothing | | | 0 | 404",
        "GET | /api/v1/tanks/h9/trace | | | 0 | 404",
        "GET | /api/nothing | | | 0 | 404",
        "GET | /api/v1/tanks/h2/trace?points=0 | | | 0 | 400",
        "GET | /api/v1/alarms?from=yesterday | | | 0 | 400",
        "GET | /api/v1/%zz | | | 0 | 400",
        "GET | /api/v1/tanks/..%2f..%2fetc | | | 0 | 404",
        "POST | /api/v1/tanks/h2/alarms/gas-line-stopped/acknowledge | Content-Type: application/json | x | 1 | 400",
        "POST | /api/v1/tanks/h2/alarms/gas-line-stopped/acknowledge | Content-Type: text/plain | x | 1 | 415",
        "POST | /api/v1/tanks/h2/alarms/gas-line-stopped/acknowledge | Content-Type: application/json | x | 5000 | 413",
        "POST | /api/v1/tanks/h2/alarms/gas-line-stopped/acknowledge | Content-Type: application/json | x | 40000 | 413",
        "POST | /api/v1/tanks/h2/alarms/gas-line-stopped/acknowledge | Origin: https://elsewhere.example | x | 1 | 403",
        "POST | /api/v1/tanks | | | 0 | 405",
        "DELETE | /api/v1/tanks/h2/trace | | | 0 | 405",
        "PUT | /api/v1/alarms | | | 0 | 405",
        "POST | /live | | | 0 | 405",
        "BREW | /api/v1/tanks | | | 0 | 405",
        "GET | /api/v1/tanks/h2/trace | | | 0 | 500",
        "GET | /api/v1/tanks/h2/readings.csv | | | 0 | 500",
        "GET | /api/v1/tanks | X-Long: | a | 20000 | 431",
      })
  void refusal_isAProblem(
      String method, String path, String header, String body, int times, int status)
      throws Exception {
    boolean inHeader = header != null && header.endsWith("Long:");
    String text = body == null ? "" : body.repeat(times);
    String request =
        "%s %s HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n%s%s\r\n%s"
            .formatted(
                method,
                path,
                header == null ? "" : header + (inHeader ? " " + text : "") + "\r\n",
                inHeader ? "" : "Content-Length: " + text.length() + "\r\n",
                inHeader ? "" : text);

    String answer = answer(request);

    int end = answer.indexOf("\r\n\r\n");
    String head = answer.substring(0, end);
    assertThat(head).startsWith("HTTP/1.1 " + status + " ");
    assertThat(head.toLowerCase(java.util.Locale.ROOT))
        .contains("content-type: application/problem+json");
    JsonNode problem = new ObjectMapper().readTree(answer.substring(answer.indexOf('{', end)));
    assertThat(problem.path("status").asInt()).isEqualTo(status);
    assertThat(problem.path("type").asText()).isEqualTo("about:blank");
    assertThat(problem.path("title").asText()).isNotBlank();
    assertThat(problem.path("detail").asText())
        .endsWith(".")
        .doesNotContain("Exception", "java", "jetty");
  }

  private static String answer(String request) throws IOException {
    try (var socket = new Socket(InetAddress.getLoopbackAddress(), server.port())) {
      socket.setSoTimeout(10_000);
      socket.getOutputStream().write(request.getBytes(UTF_8));
      return new String(socket.getInputStream().readAllBytes(), UTF_8);
    }
  }
}
