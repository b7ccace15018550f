// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import java.util.stream.Collectors;

/**
 * A request that cannot be answered, told as RFC 9457 problem details.
 *
 * <p>The detail is one sentence for a person; it says which field, which value and which limit.
 */
final class Problem extends RuntimeException {

  static final String CONTENT_TYPE = "application/problem+json";

  private static final long serialVersionUID = 1L;

  private final int status;
  private final String title;
  private final String detail;
  private final transient List<Field> fields;

  private Problem(int status, String title, String detail) {
    this(status, title, detail, List.of());
  }

  private Problem(int status, String title, String detail, List<Field> fields) {
    super(detail);
    this.status = status;
    this.title = title;
    this.detail = detail;
    this.fields = List.copyOf(fields);
  }

  /**
   * One field that is wrong.
   *
   * @param pointer where it stands, a JSON Pointer (RFC 6901)
   * @param value what was sent, as it was written
   * @param limit what it may be
   * @param unit of the limit; empty where it has none
   */
  record Field(String pointer, String value, String limit, String unit) {

    String sentence() {
      return "%s is %s, must be %s%s."
          .formatted(pointer, value, limit, unit.isEmpty() ? "" : " " + unit);
    }
  }

  /** All fields that are wrong, at once. */
  static Problem badFields(List<Field> fields) {
    return new Problem(
        422,
        "Fields that cannot be used",
        fields.stream().map(Field::sentence).collect(Collectors.joining(" ")),
        fields);
  }

  static Problem badRequest(String detail) {
    return new Problem(400, "Not a usable request", detail);
  }

  static Problem forbidden(String detail) {
    return new Problem(403, "Not allowed", detail);
  }

  static Problem notFound(String detail) {
    return new Problem(404, "Not found", detail);
  }

  static Problem notAllowed(String detail) {
    return new Problem(405, "Not a method of this address", detail);
  }

  static Problem conflict(String detail) {
    return new Problem(409, "Not done", detail);
  }

  static Problem tooLarge(String detail) {
    return new Problem(413, "Too large", detail);
  }

  static Problem wrongType(String detail) {
    return new Problem(415, "Not a content type of this address", detail);
  }

  static Problem misdirected(String detail) {
    return new Problem(421, "Not a name of this server", detail);
  }

  /** What the web server itself refuses, in the words of its standard. */
  static Problem other(int status, String words) {
    return new Problem(status, words, "The web server answers %d: %s.".formatted(status, words));
  }

  static Problem failed() {
    return new Problem(500, "Opercle failed", "This is Opercle's fault; its log says more.");
  }

  static Problem notPassedOn(String detail) {
    return new Problem(502, "Not passed on", detail);
  }

  static Problem unreached(String detail) {
    return new Problem(503, "Not passed on", detail);
  }

  static Problem busy(String detail) {
    return new Problem(503, "Too busy", detail);
  }

  int status() {
    return status;
  }

  /** The problem document, UTF-8. */
  byte[] json() {
    ObjectNode node = JsonNodeFactory.instance.objectNode();
    node.put("type", "about:blank");
    node.put("title", title);
    node.put("status", status);
    node.put("detail", detail);
    if (!fields.isEmpty()) {
      ArrayNode errors = node.putArray("errors");
      for (Field field : fields) {
        errors
            .addObject()
            .put("pointer", "#" + field.pointer)
            .put("value", field.value)
            .put("limit", field.limit)
            .put("unit", field.unit)
            .put("detail", field.sentence());
      }
    }
    return Json.bytes(node);
  }
}
