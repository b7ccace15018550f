// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.DecimalNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import com.fasterxml.jackson.databind.node.TextNode;
import java.math.BigDecimal;
import java.net.URLEncoder;
import java.net.http.HttpResponse;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Consumer;
import java.util.stream.Stream;
import opercle.dashboard.web.ApiDocument.Operation;
import opercle.dashboard.web.OperationExample.Ask;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Every time and every number that an address of the document takes, in path, query and body, with
 * values that no clock and no scale has. Whatever comes of it, it is no fault of the server's.
 */
class WildValuesTest {

  private static final List<String> TIMES =
      List.of(
          "-999999999-01-01T00:00:00Z",
          "-290309-01-01T00:00:00Z", // before the first that microseconds can count
          "-100000-01-01T00:00:00Z",
          "+292278995-01-01T00:00:00Z", // after the last that milliseconds can
          "+999999999-12-31T23:59:59-18:00");

  private static final List<String> NUMBERS =
      List.of("-1", "1e308", "1e-400", "1e999", "2147483648", "9223372036854775808");

  private static final List<String> NO_NUMBERS = List.of("NaN", "");

  /** The others are read by the same code. */
  private static final int MOST_OF_A_LIST = 1;

  @TempDir Path folder;
  private final List<String> faults = new ArrayList<>();
  private final Set<String> judged = new HashSet<>();

  @Test
  void noTimeAndNoNumber_isAnsweredWithAFaultOfTheServers() throws Exception {
    try (DocumentedFarm farm = new DocumentedFarm(folder)) {
      for (OperationExample example : OperationExample.all().values()) {
        Operation operation = farm.operation(example.operation());
        inQuery(farm, operation, example.good());
        inPath(farm, operation, example.good());
        inBody(farm, operation, example.good());
        // So that what later examples speak of is there.
        judge(farm, operation, example.good(), farm.path(operation, example.good()), true);
      }
    }
    assertThat(faults).isEmpty();
    assertThat(judged).as("that something was asked").hasSizeGreaterThan(120);
  }

  private void inQuery(DocumentedFarm farm, Operation operation, Ask ask) throws Exception {
    String path = farm.path(operation, ask);
    for (String name : farm.document.parameters(operation, "query")) {
      String others = path.replaceAll("([?&])" + name + "=[^&]*", "$1");
      for (String value : Stream.of(TIMES, NUMBERS, NO_NUMBERS).flatMap(List::stream).toList()) {
        String sent = name + "=" + URLEncoder.encode(value, UTF_8);
        judge(farm, operation, ask, others + (others.contains("?") ? "&" : "?") + sent, false);
      }
      judged.add(operation.id() + "?" + name);
    }
  }

  private void inPath(DocumentedFarm farm, Operation operation, Ask ask) throws Exception {
    if (operation.path().contains("{")) {
      for (String value : Stream.of(TIMES, NUMBERS, NO_NUMBERS).flatMap(List::stream).toList()) {
        String sent = value.isEmpty() ? "%20" : URLEncoder.encode(value, UTF_8);
        judge(farm, operation, ask, operation.path().replaceAll("\\{[a-z]+}", sent), false);
      }
      judged.add(operation.id() + "/");
    }
  }

  /** A place in a body where a value stands, or may. */
  private record Place(String at, JsonNode now, Consumer<JsonNode> set) {}

  private void inBody(DocumentedFarm farm, Operation operation, Ask ask) throws Exception {
    Optional<JsonNode> body = farm.filled(ask.body());
    if (body.isEmpty()) {
      return;
    }
    JsonNode whole = body.get();
    List<Place> places = new ArrayList<>();
    addPlaces("", whole, farm.document.body(operation), farm.document, places);
    for (Place place : places) {
      for (JsonNode wild : wild()) {
        place.set().accept(wild);
        judge(farm, operation, ask, farm.path(operation, ask), Optional.of(whole));
      }
      place.set().accept(place.now());
      judged.add(operation.id() + place.at());
    }
  }

  private static List<JsonNode> wild() {
    List<JsonNode> wild = new ArrayList<>();
    Stream.of(TIMES, NO_NUMBERS).flatMap(List::stream).map(TextNode::valueOf).forEach(wild::add);
    NUMBERS.stream().map(n -> DecimalNode.valueOf(new BigDecimal(n))).forEach(wild::add);
    return wild;
  }

  /** Times and numbers that stand there, and those that the schema knows beside them. */
  private static void addPlaces(
      String at, JsonNode node, JsonNode schema, ApiDocument document, List<Place> places) {
    if (node instanceof ObjectNode object) {
      Map<String, JsonNode> known = document.fields(schema);
      Set<String> names = new HashSet<>(known.keySet());
      object.fieldNames().forEachRemaining(names::add);
      for (String name : names) {
        JsonNode of = known.getOrDefault(name, JsonNodeFactory.instance.missingNode());
        JsonNode now = object.path(name);
        if (now.isContainerNode()) {
          addPlaces(at + "/" + name, now, of, document, places);
        } else if (isTimeOrNumber(now) || document.isTimeOrNumber(of)) {
          places.add(
              new Place(
                  at + "/" + name,
                  now,
                  value -> {
                    if (value.isMissingNode()) {
                      object.remove(name);
                    } else {
                      object.set(name, value);
                    }
                  }));
        }
      }
    } else if (node instanceof ArrayNode array) {
      for (int i = 0; i < Math.min(array.size(), MOST_OF_A_LIST); i++) {
        int index = i;
        JsonNode now = array.get(i);
        if (now.isContainerNode()) {
          addPlaces(at + "/" + i, now, document.items(schema), document, places);
        } else if (isTimeOrNumber(now)) {
          places.add(new Place(at + "/" + i, now, value -> array.set(index, value)));
        }
      }
    }
  }

  private static boolean isTimeOrNumber(JsonNode node) {
    return node.isNumber() || node.asText("").matches("\\d{4}-\\d\\d-\\d\\d.*");
  }

  private void judge(DocumentedFarm farm, Operation operation, Ask ask, String path, boolean isGood)
      throws Exception {
    if (isGood || !operation.takesBody()) {
      judge(farm, operation, ask, path, farm.filled(ask.body()));
    } else {
      judge(farm, operation, ask, path, Optional.of(JsonNodeFactory.instance.objectNode()));
    }
  }

  private void judge(
      DocumentedFarm farm, Operation operation, Ask ask, String path, Optional<JsonNode> body)
      throws Exception {
    HttpResponse<?> answer = farm.send(operation, ask, path, body);
    try (var in = (java.io.InputStream) answer.body()) {
      if (answer.statusCode() >= 500) {
        faults.add(
            "%d to %s %s %s: %s"
                .formatted(
                    answer.statusCode(),
                    operation.method(),
                    path,
                    body.map(JsonNode::toString).orElse(""),
                    new String(in.readNBytes(200), UTF_8)));
      }
    }
  }
}
