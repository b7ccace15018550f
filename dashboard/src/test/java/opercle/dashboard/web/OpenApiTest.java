// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.InputStream;
import java.net.http.HttpResponse;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.Stream;
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
  private static DocumentedFarm farm;
  private static ApiDocument document;

  @BeforeAll
  static void start() throws Exception {
    farm = new DocumentedFarm(folder);
    document = farm.document;
  }

  @AfterAll
  static void stop() {
    farm.close();
  }

  @Test
  void document_namesEveryAddressThatThereIs_andNoOther() {
    Set<String> there =
        farm.guarded.server.routes().stream()
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
    Operation operation = farm.operation(example.operation());

    refused(operation, example.refused());
    done(operation, example.good());
  }

  private static void done(Operation operation, Ask ask) throws Exception {
    Optional<JsonNode> body = farm.filled(ask.body());
    assertThat(body.isPresent())
        .as("a body where one is asked for")
        .isEqualTo(operation.takesBody());
    if (body.isPresent()) {
      assertThat(document.faults(document.body(operation), body.get())).isEmpty();
    }
    assertThat(farm.path(operation, ask)).as("as in the document").matches(operation.pathPattern());
    assertThat(document.parameters(operation, "query"))
        .as("parameters of the query")
        .containsAll(names(farm.path(operation, ask)));

    HttpResponse<InputStream> answer = farm.send(operation, ask, body);

    assertThat(answer.statusCode()).as(() -> DocumentedFarm.read(answer)).isEqualTo(ask.answers());
    String text = DocumentedFarm.read(answer);
    String status = Integer.toString(ask.answers());
    Map<String, JsonNode> media = document.content(operation, status).orElseThrow();
    if (media.isEmpty()) {
      assertThat(text).isEmpty();
    } else {
      assertThat(media).containsKey(DocumentedFarm.type(answer));
      if (DocumentedFarm.type(answer).endsWith("json")) {
        assertThat(document.faults(schema(media, DocumentedFarm.type(answer)), JSON.readTree(text)))
            .isEmpty();
      } else {
        assertThat(text).isNotEmpty();
      }
    }
  }

  private static void refused(Operation operation, Ask ask) throws Exception {
    Optional<JsonNode> body = farm.filled(ask.body());
    if (body.isPresent() && body.get().isEmpty() && document.isBodyRequired(operation)) {
      assertThat(document.faults(document.body(operation), body.get())).isNotEmpty();
    }

    HttpResponse<InputStream> answer = farm.send(operation, ask, body);

    String text = DocumentedFarm.read(answer);
    assertThat(answer.statusCode()).as(text).isEqualTo(ask.answers()).isBetween(400, 499);
    Map<String, JsonNode> media = document.content(operation, "default").orElseThrow();
    assertThat(DocumentedFarm.type(answer)).isEqualTo(Problem.CONTENT_TYPE);
    JsonNode problem = JSON.readTree(text);
    assertThat(document.faults(schema(media, Problem.CONTENT_TYPE), problem)).isEmpty();
    assertThat(problem.path("status").intValue()).isEqualTo(ask.answers());
  }

  @Test
  void answerThatIsNotAsItsSchemaSays_isFound() throws Exception {
    JsonNode schema =
        schema(document.content(farm.operation("tanks"), "200").orElseThrow(), "application/json");
    JsonNode body = JSON.readTree(JSON.writeValueAsBytes(FarmJson.everything(farm.guarded.farm)));
    assertThat(document.faults(schema, body)).isEmpty();

    ((ObjectNode) body.path("tanks").path(1).path("state")).put("oxygenMgPerL", "8.3");

    assertThat(document.faults(schema, body)).singleElement().asString().contains("oxygenMgPerL");
  }

  private static JsonNode schema(Map<String, JsonNode> media, String type) {
    return Objects.requireNonNull(media.get(type), type);
  }

  private static List<String> names(String path) {
    int query = path.indexOf('?');
    return query < 0
        ? List.of()
        : Stream.of(path.substring(query + 1).split("&", -1))
            .map(part -> part.replaceAll("=.*", ""))
            .toList();
  }
}
