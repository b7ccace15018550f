// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static java.nio.charset.StandardCharsets.ISO_8859_1;
import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.net.InetAddress;
import java.net.Socket;
import java.util.Locale;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * What comes in by a bare socket and is no request that can be read, or none that an address takes:
 * whichever part of the server finds it, the answer fits the document's schema of a problem.
 */
class UnreadableRequestTest {

  private static DashboardServer server;
  private static ApiDocument document;

  @BeforeAll
  static void start() {
    server =
        DashboardServer.start(
            DashboardSettings.onLoopback(0), FakeFarm.troubled(), new FakeTraces());
    document = new ApiDocument(OpenApi.document());
  }

  @AfterAll
  static void stop() {
    server.close();
  }

  /**
   * What is wrong, the request, and the status. In a request {@code ~} ends a line, {@code <a*9>}
   * is the letter so many times, and the host's line is put in for {@code ^}.
   */
  @ParameterizedTest(name = "{0}")
  @CsvSource(
      delimiter = '|',
      value = {
        "no request at all | fish~~ | 400",
        "no version | GET /api/v1/tanks~~ | 505",
        "an unknown version | GET /api/v1/tanks HTTP/7.3~^~ | 505",
        "the next version of HTTP | PRI * HTTP/2.0~~SM~~ | 426",
        "no path | GET  HTTP/1.1~^~ | 505",
        "a path without its slash | GET api/v1/tanks HTTP/1.1~^~ | 400",
        "a letter that no line has | GET /api/v1/tanks\u0001 HTTP/1.1~^~ | 400",
        "an empty byte | GET /api/v1/\u0000 HTTP/1.1~^~ | 400",
        "no host | GET /api/v1/tanks HTTP/1.1~~ | 400",
        "two hosts | GET /api/v1/tanks HTTP/1.1~^Host: 127.0.0.1~~ | 400",
        "a host that is none | GET /api/v1/tanks HTTP/1.1~Host: a b~~ | 400",
        "another host | GET /api/v1/tanks HTTP/1.1~Host: elsewhere.example~Connection: close~~ | 421",
        "a header without a colon | GET /api/v1/tanks HTTP/1.1~^Nothing~~ | 400",
        "a header without a name | GET /api/v1/tanks HTTP/1.1~^: x~~ | 400",
        "a header over two lines | GET /api/v1/tanks HTTP/1.1~^X: a~  b~~ | 400",
        "a space in a header's name | GET /api/v1/tanks HTTP/1.1~^X Y: a~~ | 400",
        "a header that is too long | GET /api/v1/tanks HTTP/1.1~^X: <a*20000>~~ | 431",
        "a path that is too long | GET /api/v1/<a*20000> HTTP/1.1~^~ | 414",
        "a length that is no number | POST /api/v1/plan HTTP/1.1~^Content-Length: x~~ | 400",
        "a length below nothing | POST /api/v1/plan HTTP/1.1~^Content-Length: -1~~ | 400",
        "two lengths | POST /api/v1/plan HTTP/1.1~^Content-Length: 1~Content-Length: 2~~{} | 400",
        "a length and pieces | POST /api/v1/plan HTTP/1.1~^Content-Length: 2~Transfer-Encoding: chunked~~{} | 400",
        "pieces of no length | POST /api/v1/plan HTTP/1.1~^Content-Type: application/json~Transfer-Encoding: chunked~~zz~{}~ | 400",
        "an unknown way of sending | POST /api/v1/plan HTTP/1.1~^Transfer-Encoding: parcel~~ | 400",
        "more than is understood | POST /api/v1/plan HTTP/1.1~^Expect: a-miracle~Content-Length: 0~~ | 417",
        "a percent sign alone | GET /api/v1/% HTTP/1.1~^~ | 400",
        "no hexadecimal number | GET /api/v1/tanks/%zz/trace HTTP/1.1~^~ | 400",
        "half a letter | GET /api/v1/tanks/%c3/trace HTTP/1.1~^~ | 400",
        "an overlong letter | GET /api/v1/tanks/%c0%af/trace HTTP/1.1~^~ | 400",
        "an empty letter | GET /api/v1/tanks/%00/trace HTTP/1.1~^~ | 400",
        "a bad query | GET /api/v1/tanks/h2/trace?points=%zz HTTP/1.1~^~ | 400",
        "half a letter in a query | GET /api/v1/tanks/h2/trace?probe=%c3 HTTP/1.1~^~ | 400",
        "a way up | GET /api/v1/../../etc HTTP/1.1~^~ | 404",
        "a hidden way up | GET /api/v1/%2e%2e/tanks HTTP/1.1~^~ | 404",
        "a hidden slash | GET /api/v1/tanks%2fh2 HTTP/1.1~^~ | 404",
        "a method of another address | DELETE /api/v1/tanks HTTP/1.1~^~ | 405",
        "a method that nobody knows | BREW /api/v1/tanks HTTP/1.1~^~ | 405",
        "a method in small letters | get /api/v1/tanks HTTP/1.1~^~ | 405",
        "an echo | TRACE /api/v1/tanks HTTP/1.1~^~ | 405",
        "a tunnel | CONNECT 127.0.0.1:80 HTTP/1.1~^~ | 405",
        "what may be asked | OPTIONS /api/v1/tanks HTTP/1.1~^~ | 405",
        "what may be asked of all | OPTIONS * HTTP/1.1~^~ | 404",
        "a method of the stream | POST /api/v1/live HTTP/1.1~^Content-Length: 0~~ | 405",
        "an unknown address | GET /api/v1/nothing HTTP/1.1~^~ | 404",
        "an unknown address that is sent to | POST /api/v1/nothing HTTP/1.1~^Content-Length: 0~~ | 404",
        "an unknown version of the addresses | GET /api/v9/tanks HTTP/1.1~^~ | 404",
        "words | POST /api/v1/plan HTTP/1.1~^Content-Type: text/plain~Content-Length: 2~~{} | 415",
        "no kind of content | POST /api/v1/plan HTTP/1.1~^Content-Length: 2~~{} | 415",
        "other letters | POST /api/v1/plan HTTP/1.1~^Content-Type: application/json; charset=ebcdic~Content-Length: 2~~{} | 415",
        "something packed | POST /api/v1/plan HTTP/1.1~^Content-Type: application/json~Content-Encoding: gzip~Content-Length: 2~~{} | 415",
        "half an object | POST /api/v1/plan HTTP/1.1~^Content-Type: application/json~Content-Length: 1~~{ | 400",
        "no letters | POST /api/v1/plan HTTP/1.1~^Content-Type: application/json~Content-Length: 2~~\u00ff\u00fe | 400",
        "a body over the address's limit | POST /api/v1/plan HTTP/1.1~^Content-Type: application/json~Content-Length: 100000~~<a*100000> | 413",
        "a body over the server's limit | POST /api/v1/plan HTTP/1.1~^Content-Type: application/json~Content-Length: 300000~~<a*300000> | 413",
        "a body that says that it is huge | POST /api/v1/plan HTTP/1.1~^Content-Type: application/json~Content-Length: 99999999999~~ | 413",
        "a body that ends too early | POST /api/v1/plan HTTP/1.1~^Content-Type: application/json~Content-Length: 9~~{ | 400",
      })
  void isAnsweredByAProblem(String what, String request, int status) throws Exception {
    String answer = answer(written(request));

    int end = answer.indexOf("\r\n\r\n");
    assertThat(answer).startsWith("HTTP/1.1 " + status + " ");
    assertThat(answer.substring(0, end).toLowerCase(Locale.ROOT))
        .contains("content-type: application/problem+json");
    JsonNode problem = new ObjectMapper().readTree(answer.substring(end + 4));
    JsonNode schema =
        document
            .content(document.operations().get(0), "default")
            .orElseThrow()
            .values()
            .iterator()
            .next();
    assertThat(document.faults(schema, problem)).isEmpty();
    assertThat(problem.path("status").intValue()).isEqualTo(status);
    assertThat(problem.path("detail").asText())
        .endsWith(".")
        .doesNotContainIgnoringCase("exception", "java", "jetty", "org.");
  }

  private static String written(String request) {
    String text = request.replace("^", "Host: 127.0.0.1~Connection: close~").replace("~", "\r\n");
    int open = text.indexOf('<');
    if (open < 0) {
      return text;
    }
    int close = text.indexOf('>', open);
    int times = Integer.parseInt(text.substring(open + 3, close));
    return text.substring(0, open)
        + text.substring(open + 1, open + 2).repeat(times)
        + text.substring(close + 1);
  }

  private static String answer(String request) throws IOException {
    try (Socket socket = new Socket(InetAddress.getLoopbackAddress(), server.port())) {
      socket.setSoTimeout(10_000);
      try {
        socket.getOutputStream().write(request.getBytes(ISO_8859_1));
        socket.shutdownOutput();
      } catch (IOException e) {
        // answered and hung up before all was sent; the answer is there to be read
      }
      return new String(socket.getInputStream().readAllBytes(), ISO_8859_1);
    }
  }
}
