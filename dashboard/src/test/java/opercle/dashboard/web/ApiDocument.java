// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import com.networknt.schema.Error;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Pattern;

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

    String id() {
      return node.path("operationId").textValue();
    }

    /** What a path of it looks like, with or without a query. */
    String pathPattern() {
      String plain = Pattern.quote(path).replaceAll("\\{[a-z]+}", "\\\\E[^/?]+\\\\Q");
      return plain + "(\\?.*)?";
    }

    boolean takesBody() {
      return node.has("requestBody");
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

  /**
   * What an operation answers, as schemas by media type; empty where the document does not know the
   * status, and a map without anything where the answer has no body. {@code default} is a problem.
   */
  Optional<Map<String, JsonNode>> content(Operation operation, String status) {
    JsonNode said = operation.node().path("responses").path(status);
    if (said.isMissingNode()) {
      return Optional.empty();
    }
    Map<String, JsonNode> content = new HashMap<>();
    for (var media : resolved(said).path("content").properties()) {
      content.put(media.getKey(), media.getValue().path("schema"));
    }
    return Optional.of(content);
  }

  /** The names of what may stand in an operation's path, query or headers. */
  List<String> parameters(Operation operation, String in) {
    List<String> names = new ArrayList<>();
    for (JsonNode of : List.of(document.path("paths").path(operation.path()), operation.node())) {
      for (JsonNode parameter : of.path("parameters")) {
        if (resolved(parameter).path("in").asText().equals(in)) {
          names.add(resolved(parameter).path("name").asText());
        }
      }
    }
    return names;
  }

  boolean isBodyRequired(Operation operation) {
    return resolved(operation.node().path("requestBody")).path("required").booleanValue();
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

  /** The fields that a schema knows by name, whatever it is made of. */
  Map<String, JsonNode> fields(JsonNode schema) {
    Map<String, JsonNode> fields = new HashMap<>();
    JsonNode whole = resolved(schema);
    for (String of : List.of("allOf", "anyOf", "oneOf")) {
      whole.path(of).forEach(part -> fields.putAll(fields(part)));
    }
    whole.path("properties").properties().forEach(f -> fields.put(f.getKey(), f.getValue()));
    return fields;
  }

  /** The schema of what is in a list. */
  JsonNode items(JsonNode schema) {
    return resolved(schema).path("items");
  }

  /** Whether a value that it describes is a time or a number. */
  boolean isTimeOrNumber(JsonNode schema) {
    JsonNode whole = resolved(schema);
    String type = whole.path("type").asText("");
    return type.equals("number")
        || type.equals("integer")
        || whole.path("format").asText("").startsWith("date");
  }

  /** Every reference in the document. */
  List<String> references() {
    List<String> references = new ArrayList<>();
    document.findValues("$ref").forEach(ref -> references.add(ref.textValue()));
    return references;
  }

  /** Every key in the document that has no value. */
  List<String> empty() {
    List<String> empty = new ArrayList<>();
    addEmpty("", document, empty);
    return empty;
  }

  private static void addEmpty(String path, JsonNode node, List<String> empty) {
    node.properties()
        .forEach(
            field -> {
              String at = path + "/" + field.getKey();
              if (field.getValue().isNull()) {
                empty.add(at);
              }
              addEmpty(at, field.getValue(), empty);
            });
    if (node.isArray()) {
      node.forEach(element -> addEmpty(path, element, empty));
    }
  }

  boolean has(String reference) {
    return !document.at(reference.substring(1)).isMissingNode();
  }

  private JsonNode resolved(JsonNode node) {
    return node.has("$ref") ? document.at(node.path("$ref").textValue().substring(1)) : node;
  }
}
