// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import com.networknt.schema.Error;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;

/** The OpenAPI document as the server gives it out, and answers held against it. */
final class ApiDocument {

  private static final Set<String> METHODS = Set.of("get", "post", "put", "delete", "patch");

  private final SchemaRegistry registry =
      SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12);
  private final JsonNode document;

  ApiDocument(JsonNode document) {
    this.document = document;
  }

  /** One method of one address. */
  record Operation(String method, String path, JsonNode node) {
    @Override
    public String toString() {
      return method + " " + path;
    }
  }

  List<Operation> operations() {
    List<Operation> operations = new ArrayList<>();
    document
        .path("paths")
        .properties()
        .forEach(
            path ->
                path.getValue().properties().stream()
                    .filter(e -> METHODS.contains(e.getKey()))
                    .forEach(
                        e ->
                            operations.add(
                                new Operation(
                                    e.getKey().toUpperCase(Locale.ROOT),
                                    path.getKey(),
                                    e.getValue()))));
    return operations;
  }

  /** The schema of what an operation answers, where that is JSON; {@code default} is a problem. */
  Optional<JsonNode> answer(Operation operation, String status) {
    JsonNode response = resolved(operation.node().path("responses").path(status));
    for (var content : response.path("content").properties()) {
      if (content.getKey().endsWith("json")) {
        return Optional.of(content.getValue().path("schema"));
      }
    }
    return Optional.empty();
  }

  /** The schema of what an operation takes. */
  JsonNode body(Operation operation) {
    return resolved(operation.node().path("requestBody"))
        .path("content")
        .path("application/json")
        .path("schema");
  }

  /** What of an instance is not as its schema has it. */
  List<String> faults(JsonNode schema, JsonNode instance) {
    ObjectNode whole = JsonNodeFactory.instance.objectNode();
    whole.set("components", document.path("components"));
    whole.putArray("allOf").add(schema);
    return registry
        .getSchema(whole)
        .validate(
            instance, context -> context.executionConfig(c -> c.formatAssertionsEnabled(true)))
        .stream()
        .map(Error::toString)
        .toList();
  }

  /** Every reference in the document. */
  List<String> references() {
    List<String> references = new ArrayList<>();
    document.findValues("$ref").forEach(ref -> references.add(ref.textValue()));
    return references;
  }

  boolean has(String reference) {
    return !document.at(reference.substring(1)).isMissingNode();
  }

  private JsonNode resolved(JsonNode node) {
    return node.has("$ref") ? document.at(node.path("$ref").textValue().substring(1)) : node;
  }
}
