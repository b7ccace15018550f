// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import org.snakeyaml.engine.v2.api.Load;
import org.snakeyaml.engine.v2.api.LoadSettings;

/**
 * How an operation of the document of addresses is asked, and how it is asked so that it refuses.
 *
 * @param operation its operationId
 * @param good is done
 * @param refused is not
 */
record OperationExample(String operation, Ask good, Ask refused) {

  static final String NOBODY = "nobody";

  /**
   * One request.
   *
   * @param path with its query; empty: the document's own
   * @param body what is sent, before anything is put into it
   * @param as who asks
   * @param from the origin that it says that it comes from; empty: the server's own
   * @param answers the status that is expected
   */
  record Ask(
      Optional<String> path,
      Optional<JsonNode> body,
      String as,
      Optional<String> from,
      int answers) {

    private static Ask of(JsonNode node) {
      return new Ask(
          text(node, "path"),
          Optional.ofNullable(node.get("body")),
          text(node, "as").orElse("Maren"),
          text(node, "from"),
          node.path("answers").intValue());
    }

    /** Without what is said of a refusal it is the same request of nobody. */
    private Ask refused(JsonNode node) {
      if (node.isMissingNode()) {
        return new Ask(path, body, NOBODY, from, 401);
      }
      Ask said = of(node);
      return new Ask(said.path.or(() -> path), said.body, said.as, said.from, said.answers);
    }
  }

  /** All of them, in the order in which they are to be asked. */
  static Map<String, OperationExample> all() {
    var settings = LoadSettings.builder().setLabel("operations.yaml").build();
    try (InputStream in = OperationExample.class.getResourceAsStream("operations.yaml")) {
      JsonNode examples =
          new ObjectMapper()
              .valueToTree(new Load(settings).loadFromInputStream(Objects.requireNonNull(in)));
      Map<String, OperationExample> all = new LinkedHashMap<>();
      for (Map.Entry<String, JsonNode> example : examples.properties()) {
        Ask good = Ask.of(example.getValue());
        all.put(
            example.getKey(),
            new OperationExample(
                example.getKey(), good, good.refused(example.getValue().path("refused"))));
      }
      return all;
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  private static Optional<String> text(JsonNode node, String field) {
    return Optional.ofNullable(node.get(field)).map(JsonNode::textValue);
  }

  @Override
  public String toString() {
    return operation;
  }
}
