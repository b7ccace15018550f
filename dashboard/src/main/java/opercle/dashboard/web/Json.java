// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.Map;
import java.util.OptionalDouble;

/** Writing JSON with figures cut to what a probe can tell. */
final class Json {

  private static final ObjectMapper MAPPER = new ObjectMapper();
  private static final double DECIMALS = 1000.0;

  private Json() {}

  static byte[] bytes(JsonNode node) {
    try {
      return MAPPER.writeValueAsBytes(node);
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("a JSON tree could not be written", e);
    }
  }

  /** Maps, lists, strings, numbers and nulls as a tree. */
  static ObjectNode tree(Map<String, ?> map) {
    return MAPPER.valueToTree(map);
  }

  static JsonNode read(byte[] body) {
    try {
      return MAPPER.readTree(body);
    } catch (java.io.IOException e) {
      throw Problem.misread("The body is not well-formed JSON.");
    }
  }

  /** Three decimals are finer than any probe here, and keep the stream small. */
  static double rounded(double value) {
    return Math.round(value * DECIMALS) / DECIMALS;
  }

  static void put(ObjectNode node, String field, OptionalDouble value) {
    if (value.isPresent() && Double.isFinite(value.getAsDouble())) {
      node.put(field, rounded(value.getAsDouble()));
    }
  }
}
