// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;

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

  private Problem(int status, String title, String detail) {
    super(detail);
    this.status = status;
    this.title = title;
    this.detail = detail;
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
    return Json.bytes(node);
  }
}
