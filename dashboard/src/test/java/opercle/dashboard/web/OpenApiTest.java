// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import com.fasterxml.jackson.databind.node.TextNode;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpRequest.BodyPublishers;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Base64;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import opercle.analysis.monitor.MonitorTrouble;
import opercle.analysis.monitor.TroubleKey;
import opercle.analysis.monitor.TroubleKind;
import opercle.dashboard.access.Role;
import opercle.dashboard.web.ApiDocument.Operation;
import opercle.dashboard.web.OperationExample.Ask;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * The document of the addresses, against the addresses that there are and what they answer: each of
 * its operations is asked once so that it is done and once so that it is refused.
 */
class OpenApiTest {

  private static final ObjectMapper JSON = new ObjectMapper();
  private static final Map<String, OperationExample> EXAMPLES = OperationExample.all();

  /** A servlet beside the routes. */
  private static final String LIVE = "GET /api/v1/live";

  @TempDir private static Path folder;
  private static GuardedFarm guarded;
  private static ApiDocument document;
  private static final HttpClient CLIENT = HttpClient.newHttpClient();
  private static final Map<String, String> COOKIES = new HashMap<>();
  private static final Map<String, String> PUT_IN = new HashMap<>();

  @BeforeAll
  static void start() throws Exception {
    guarded = GuardedFarm.in(folder);
    COOKIES.put("Maren", guarded.cookie("Maren", Role.MANAGE));
    COOKIES.put("Tove", guarded.cookie("Tove", Role.KEEP));
    guarded.calling.looked(
        List.of(),
        List.of(
            new MonitorTrouble(
                TroubleKey.of(TroubleKind.DISK_FULL), FakeFarm.NIGHT, "The disk is full.")));
    await().until(() -> !guarded.calling.calledForTheMonitor().isEmpty());
    PUT_IN.put("<password>", GuardedFarm.PASSWORD);
    PUT_IN.put("<token>", guarded.access.addToken("a program", Role.LOOK, "Maren").token().id());
    PUT_IN.put("<picture>", Base64.getEncoder().encodeToString(PictureTest.picture("png", 20, 10)));
    PUT_IN.putAll(guarded.push.asksForNotices());
    document =
        new ApiDocument(
            JSON.readTree(
                guarded.send("GET", "/api/v1/openapi.json", "", "Cookie", cookie("Maren")).body()));
  }

  @AfterAll
  static void stop() {
    guarded.close();
  }

  @Test
  void document_namesEveryAddressThatThereIs_andNoOther() {
    Set<String> there =
        guarded.server.routes().stream()
            .filter(route -> route.contains(" /api/"))
            .collect(Collectors.toCollection(TreeSet::new));
    there.add(LIVE);

    assertThat(document.operations()).extracting(Operation::toString).hasSameElementsAs(there);
    assertThat(there).as("that there is something to compare").hasSizeGreaterThan(80);
  }

  @Test
  void everyOperation_hasAnExample_andNoExampleIsLeftOver() {
    assertThat(document.operations().stream().map(Operation::id).toList())
        .doesNotHaveDuplicates()
        .containsExactlyInAnyOrderElementsOf(EXAMPLES.keySet());
  }

  @Test
  void references_leadSomewhere() {
    assertThat(document.references()).hasSizeGreaterThan(100).allMatch(document::has);
  }

  /**
   * In YAML a comma in words without quotes ends them, and what follows is a key that says nothing.
   */
  @Test
  void everyWordOfTheDocument_saysSomething() {
    assertThat(document.empty()).isEmpty();
  }

  static Stream<OperationExample> examples() {
    return EXAMPLES.values().stream();
  }

  @ParameterizedTest(name = "{0}")
  @MethodSource("examples")
  void whatIsAskedAndAnswered_isAsTheDocumentSays_alsoWhereItIsRefused(OperationExample example)
      throws Exception {
    Operation operation = operation(example.operation());

    refused(operation, example.refused());
    done(operation, example.good());
  }

  private static void done(Operation operation, Ask ask) throws Exception {
    Optional<JsonNode> body = filled(ask.body());
    assertThat(body.isPresent())
        .as("a body where one is asked for")
        .isEqualTo(operation.takesBody());
    if (body.isPresent()) {
      assertThat(document.faults(document.body(operation), body.get())).isEmpty();
    }
    assertThat(path(operation, ask)).as("as in the document").matches(operation.pathPattern());
    assertThat(document.parameters(operation, "query"))
        .as("parameters of the query")
        .containsAll(names(path(operation, ask)));

    HttpResponse<InputStream> answer = send(operation, ask, body);

    assertThat(answer.statusCode()).as(() -> read(answer)).isEqualTo(ask.answers());
    String text = read(answer);
    String status = Integer.toString(ask.answers());
    Map<String, JsonNode> media = document.content(operation, status).orElseThrow();
    if (media.isEmpty()) {
      assertThat(text).isEmpty();
    } else {
      assertThat(media).containsKey(type(answer));
      if (type(answer).endsWith("json")) {
        assertThat(document.faults(schema(media, type(answer)), JSON.readTree(text))).isEmpty();
      } else {
        assertThat(text).isNotEmpty();
      }
    }
  }

  private static void refused(Operation operation, Ask ask) throws Exception {
    Optional<JsonNode> body = filled(ask.body());
    if (body.isPresent() && body.get().isEmpty() && document.isBodyRequired(operation)) {
      assertThat(document.faults(document.body(operation), body.get())).isNotEmpty();
    }

    HttpResponse<InputStream> answer = send(operation, ask, body);

    String text = read(answer);
    assertThat(answer.statusCode()).as(text).isEqualTo(ask.answers()).isBetween(400, 499);
    Map<String, JsonNode> media = document.content(operation, "default").orElseThrow();
    assertThat(type(answer)).isEqualTo(Problem.CONTENT_TYPE);
    JsonNode problem = JSON.readTree(text);
    assertThat(document.faults(schema(media, Problem.CONTENT_TYPE), problem)).isEmpty();
    assertThat(problem.path("status").intValue()).isEqualTo(ask.answers());
  }

  @Test
  void answerThatIsNotAsItsSchemaSays_isFound() throws Exception {
    JsonNode schema =
        schema(document.content(operation("tanks"), "200").orElseThrow(), "application/json");
    JsonNode body = JSON.readTree(JSON.writeValueAsBytes(FarmJson.everything(guarded.farm)));
    assertThat(document.faults(schema, body)).isEmpty();

    ((ObjectNode) body.path("tanks").path(1).path("state")).put("oxygenMgPerL", "8.3");

    assertThat(document.faults(schema, body)).singleElement().asString().contains("oxygenMgPerL");
  }

  private static JsonNode schema(Map<String, JsonNode> media, String type) {
    return Objects.requireNonNull(media.get(type), type);
  }

  private static String cookie(String name) {
    return Objects.requireNonNull(COOKIES.get(name), name);
  }

  private static Operation operation(String id) {
    return document.operations().stream().filter(o -> o.id().equals(id)).findFirst().orElseThrow();
  }

  private static String path(Operation operation, Ask ask) {
    return putIn(ask.path().orElse(operation.path()));
  }

  private static String putIn(String text) {
    String whole = text;
    for (Map.Entry<String, String> part : PUT_IN.entrySet()) {
      whole = whole.replace(part.getKey(), part.getValue());
    }
    return whole;
  }

  private static List<String> names(String path) {
    int query = path.indexOf('?');
    return query < 0
        ? List.of()
        : Stream.of(path.substring(query + 1).split("&", -1))
            .map(part -> part.replaceAll("=.*", ""))
            .toList();
  }

  /** What is sent, with what stands for something in its place. */
  private static Optional<JsonNode> filled(Optional<JsonNode> body) throws Exception {
    if (body.isEmpty()) {
      return body;
    }
    if (body.get().isTextual()) {
      return Optional.of(JSON.readTree(given(body.get().textValue())));
    }
    ObjectNode whole = (ObjectNode) JSON.readTree(putIn(body.get().toString()));
    for (Map.Entry<String, JsonNode> field : whole.properties()) {
      if (field.getValue().asText("").startsWith("@")) {
        field.setValue(TextNode.valueOf(given(field.getValue().textValue())));
      }
    }
    return Optional.of(whole);
  }

  private static String given(String address) throws Exception {
    return guarded.send("GET", address.substring(1), "", "Cookie", cookie("Maren")).body();
  }

  private static HttpResponse<InputStream> send(
      Operation operation, Ask ask, Optional<JsonNode> body) throws Exception {
    HttpRequest.Builder request =
        HttpRequest.newBuilder(URI.create(guarded.root() + path(operation, ask)))
            .timeout(Duration.ofSeconds(30))
            .method(
                operation.method(),
                body.map(json -> BodyPublishers.ofString(json.toString()))
                    .orElseGet(BodyPublishers::noBody));
    if (!operation.method().equals("GET")) {
      request.header("Origin", ask.from().orElse(guarded.root()));
    }
    if (!ask.as().equals(OperationExample.NOBODY)) {
      request.header("Cookie", cookie(ask.as()));
    }
    if (body.isPresent()) {
      request.header("Content-Type", "application/json");
    }
    return CLIENT.send(request.build(), BodyHandlers.ofInputStream());
  }

  /** The media type without its parameters. */
  private static String type(HttpResponse<?> answer) {
    return answer.headers().firstValue("Content-Type").orElse("").replaceAll("\\s*;.*", "");
  }

  /** All of it; of a stream, which does not end, only how it begins. */
  private static String read(HttpResponse<InputStream> answer) {
    try (InputStream in = answer.body()) {
      return type(answer).equals("text/event-stream")
          ? new String(in.readNBytes(20), UTF_8)
          : new String(in.readAllBytes(), UTF_8);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
