// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.sun.net.httpserver.HttpExchange;
import com.sun.net.httpserver.HttpServer;
import java.io.IOException;
import java.io.StringReader;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.URI;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import javax.xml.parsers.DocumentBuilderFactory;
import opercle.analysis.calling.Call;
import opercle.analysis.calling.Call.Kind;
import opercle.analysis.calling.Delivery;
import opercle.dashboard.calling.WebhookSettings.Format;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.w3c.dom.Document;
import org.xml.sax.InputSource;

/** Against a real receiver in this process. */
class WebhookChannelTest {

  /** What came. */
  record Came(String body, String key, String timestamp, String signature, String type) {}

  private final List<Came> came = new CopyOnWriteArrayList<>();
  private final CountDownLatch end = new CountDownLatch(1);
  private final ExecutorService threads = Executors.newCachedThreadPool();
  private HttpServer server;
  private volatile int status = 204;
  private volatile Optional<String> retryAfter = Optional.empty();
  private volatile boolean stalls;

  WebhookChannelTest() throws IOException {
    server = HttpServer.create(new InetSocketAddress(InetAddress.getLoopbackAddress(), 0), 5);
  }

  @BeforeEach
  void start() {
    server.setExecutor(threads);
    server.createContext("/hook", this::answer);
    server.start();
  }

  @AfterEach
  void stop() {
    end.countDown();
    server.stop(0);
    threads.shutdownNow();
  }

  private void answer(HttpExchange exchange) throws IOException {
    came.add(
        new Came(
            new String(exchange.getRequestBody().readAllBytes(), UTF_8),
            header(exchange, "Idempotency-Key"),
            header(exchange, "Opercle-Timestamp"),
            header(exchange, "Opercle-Signature"),
            header(exchange, "Content-Type")));
    if (stalls) {
      try {
        end.await();
      } catch (InterruptedException e) {
        Thread.currentThread().interrupt();
      }
    }
    retryAfter.ifPresent(value -> exchange.getResponseHeaders().set("Retry-After", value));
    exchange.sendResponseHeaders(status, -1);
    exchange.close();
  }

  private static String header(HttpExchange exchange, String name) {
    return Optional.ofNullable(exchange.getRequestHeaders().getFirst(name)).orElse("");
  }

  private WebhookChannel channel(Format format, Duration answer) {
    URI url = URI.create("http://127.0.0.1:" + server.getAddress().getPort() + "/hook?token=perch");
    return new WebhookChannel(
        new WebhookSettings(url, Optional.of("gudgeon"), format), () -> Made.NIGHT, answer);
  }

  private Delivery deliver() {
    return channel(Format.JSON, Duration.ofSeconds(5)).deliver(Made.message());
  }

  @Test
  void json_isTheContractsEvent_signed_underItsKey() throws Exception {
    assertThat(deliver()).isInstanceOf(Delivery.Accepted.class);

    Came got = came.get(0);
    JsonNode json = new ObjectMapper().readTree(got.body());
    assertThat(json.path("type").asText()).isEqualTo("alarm");
    assertThat(json.path("tank").asText()).isEqualTo("h2");
    assertThat(json.path("timeInHandMinutes").asDouble()).isEqualTo(9.8);
    assertThat(json.path("call").path("person").asText()).isEqualTo("Maren");
    assertThat(got.key()).isEqualTo("11111111-2222-3333-4444-555555555555");
    assertThat(got.timestamp()).isEqualTo(Long.toString(Made.NIGHT.getEpochSecond()));
    assertThat(got.signature())
        .isEqualTo("sha256=" + WebhookChannel.hmac("gudgeon", got.timestamp() + "." + got.body()));
  }

  /** RFC 4231, test case 2. */
  @Test
  void hmac_matchesThePublishedCase() {
    assertThat(WebhookChannel.hmac("Jefe", "what do ya want for nothing?"))
        .isEqualTo("5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843");
  }

  @Test
  void cap_isWellFormed_private_andHasItsFields() throws Exception {
    var unused = channel(Format.CAP, Duration.ofSeconds(5)).deliver(Made.message());

    assertThat(came.get(0).type()).isEqualTo("application/cap+xml");
    Document cap = cap();
    assertThat(cap.getDocumentElement().getNamespaceURI())
        .isEqualTo("urn:oasis:names:tc:emergency:cap:1.2");
    assertThat(text(cap, "scope")).isEqualTo("Private");
    assertThat(text(cap, "status")).isEqualTo("Actual");
    assertThat(text(cap, "sent")).isEqualTo("2026-03-14T02:11:07-00:00");
    assertThat(text(cap, "urgency")).isEqualTo("Immediate");
    assertThat(text(cap, "severity")).isEqualTo("Severe");
    assertThat(text(cap, "areaDesc")).contains("h2");
    assertThat(text(cap, "responseType")).isEqualTo("Execute");
    assertThat(text(cap, "web")).isEqualTo("https://fish.example.org/have/a.b");
  }

  /** What is about an earlier message would have to name it; so each is an alert of its own. */
  @Test
  void cap_thatSomebodyHasIt_asksForNothing() throws Exception {
    var unused = channel(Format.CAP, Duration.ofSeconds(5)).deliver(Made.message(Call.Kind.TAKEN));

    Document cap = cap();
    assertThat(text(cap, "msgType")).isEqualTo("Alert");
    assertThat(text(cap, "responseType")).isEqualTo("Monitor");
    assertThat(text(cap, "incidents")).startsWith("h2-gas-line-stopped-");
  }

  private Document cap() throws Exception {
    DocumentBuilderFactory factory = DocumentBuilderFactory.newInstance();
    factory.setNamespaceAware(true);
    return factory
        .newDocumentBuilder()
        .parse(new InputSource(new StringReader(came.get(0).body())));
  }

  private static String text(Document document, String name) {
    return document
        .getElementsByTagNameNS("urn:oasis:names:tc:emergency:cap:1.2", name)
        .item(0)
        .getTextContent();
  }

  @ParameterizedTest
  @CsvSource({
    "200, ,",
    "302, false, ",
    "400, false,",
    "404, false,",
    "408, true,",
    "425, true,",
    "429, true, 7",
    "500, true,",
    "503, true, 30"
  })
  void answer_saysWhetherTryingAgainMayHelp(int answered, Boolean again, Long after) {
    status = answered;
    retryAfter = Optional.ofNullable(after).map(String::valueOf);

    Delivery delivery = deliver();

    if (again == null) {
      assertThat(delivery).isInstanceOf(Delivery.Accepted.class);
    } else {
      Delivery.Failed failed = (Delivery.Failed) delivery;
      assertThat(failed.again()).isEqualTo(again);
      assertThat(failed.after()).isEqualTo(Optional.ofNullable(after).map(Duration::ofSeconds));
      assertThat(failed.reason()).contains(Integer.toString(answered)).doesNotContain("perch");
    }
  }

  @ParameterizedTest
  @CsvSource({
    "'Sat, 14 Mar 2026 02:11:37 GMT', 30",
    "'soon', ",
    "'Sat, 14 Mar 2026 02:00:00 GMT', ",
    "999999, 600",
    "99999999999999999999999, "
  })
  void retryAfter_mayBeADate_isNeverLong_andRubbishIsPassedOver(String header, Long seconds) {
    status = 429;
    retryAfter = Optional.of(header);

    assertThat(((Delivery.Failed) deliver()).after())
        .isEqualTo(Optional.ofNullable(seconds).map(Duration::ofSeconds));
  }

  @Test
  void receiverThatStalls_isGivenUp() {
    stalls = true;

    Delivery delivery =
        channel(Format.JSON, Duration.ofMillis(300)).deliver(Made.message(Kind.TEST));

    assertThat(((Delivery.Failed) delivery).again()).isTrue();
  }

  @Test
  void receiverThatIsGone_failsWithoutTellingTheAddress() {
    server.stop(0);

    Delivery.Failed failed = (Delivery.Failed) deliver();

    assertThat(failed.again()).isTrue();
    assertThat(failed.reason()).doesNotContain("perch");
  }
}
