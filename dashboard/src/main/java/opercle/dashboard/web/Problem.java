// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import opercle.ingest.settings.UnusableInputException;

/**
 * A request that cannot be answered, told as RFC 9457 problem details.
 *
 * <p>The detail is one sentence for a person; it says which field, which value and which limit.
 */
final class Problem extends RuntimeException {

  static final String CONTENT_TYPE = "application/problem+json";

  private static final long serialVersionUID = 1L;

  /** How the limit of a field begins that takes one of some words, and of one that nobody knows. */
  static final String CHOICE = "one of ";

  private static final String UNKNOWN = "no such field";

  private static final String MISREAD =
      "What this page sent cannot be used here. Load the page again, then try once more.";

  /** In a sentence, what somebody has typed. */
  private static final Pattern LONG_VALUE = Pattern.compile("(\"[^\"]{40})[^\"]+\"");

  private final int status;
  private final String title;
  private final String detail;
  private final transient List<ObjectNode> errors;

  private Problem(int status, String title, String detail) {
    this(status, title, detail, List.of());
  }

  private Problem(int status, String title, String detail, List<ObjectNode> errors) {
    super(detail);
    this.status = status;
    this.title = title;
    this.detail = detail;
    this.errors = List.copyOf(errors);
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

    /** The same for the person who typed it, by the name that the field has on the form. */
    String told() {
      if (limit.startsWith(CHOICE)) { // they are ids, and a form has its own words for them
        return "%s: choose one of those that are offered.".formatted(FieldNames.of(pointer));
      }
      if (limit.startsWith(UNKNOWN)) {
        return MISREAD;
      }
      String of = unit.isEmpty() ? "" : " " + unit;
      return isMissing()
          ? "%s is needed: %s%s.".formatted(FieldNames.of(pointer), limit, of)
          : "%s: must be %s%s.".formatted(FieldNames.of(pointer), limit, of);
    }

    private boolean isMissing() {
      return value.equals("missing");
    }

    ObjectNode node() {
      return JsonNodeFactory.instance
          .objectNode()
          .put("pointer", "#" + pointer)
          .put("value", value)
          .put("limit", limit)
          .put("unit", unit)
          .put("detail", sentence())
          .put("told", told());
    }
  }

  /**
   * All that is wrong with a farm, or a part of it, at once, in the words of its reader.
   *
   * @param within what the keys begin with where only a part was sent; it is left away
   */
  static Problem unusable(UnusableInputException e, String within) {
    return unusable("A farm that cannot be used", e, within);
  }

  /** The same of something else that a reader has read. */
  static Problem unusable(String title, UnusableInputException e, String within) {
    return new Problem(
        422,
        title,
        e.problems().stream()
            .map(
                p ->
                    within.isEmpty()
                        ? said(p.key(), p.message())
                        : told(key(p.key(), within), shortened(p.message())))
            .distinct()
            .collect(Collectors.joining(" ")),
        e.problems().stream().map(p -> node(p, within)).toList());
  }

  private static ObjectNode node(opercle.ingest.settings.Problem p, String within) {
    String key = key(p.key(), within);
    ObjectNode node = JsonNodeFactory.instance.objectNode();
    node.put(
        "pointer", key.isEmpty() ? "#" : "#/" + key.replaceAll("[.\\[]", "/").replace("]", ""));
    if (p.line() > 0 && within.isEmpty()) {
      node.put("line", p.line());
    }
    String words = shortened(p.message());
    node.put("field", key).put("detail", said(key, words));
    if (!within.isEmpty()) { // of a form; whoever wrote a file knows its keys
      node.put("told", told(key, words));
    }
    return node;
  }

  /** For the person who typed it, by the name that the field has on the form. */
  private static String told(String key, String message) {
    String name = FieldNames.of(key);
    if (message.startsWith("unknown key")) {
      return MISREAD;
    }
    if (message.contains(CHOICE)) {
      return "%s: choose one of those that are offered.".formatted(name);
    }
    return message.startsWith("is ") ? said("", name + " " + message) : said(name, message);
  }

  /** So that a sentence is not drowned in what was typed. */
  private static String shortened(String message) {
    return LONG_VALUE.matcher(message).replaceAll("$1…\"");
  }

  private static String key(String key, String within) {
    return key.startsWith(within + ".") ? key.substring(within.length() + 1) : key;
  }

  private static String said(String key, String message) {
    String words = key.isEmpty() ? message : key + ": " + message;
    return words.endsWith(".") ? words : words + ".";
  }

  /** All fields that are wrong, at once. */
  static Problem badFields(List<Field> fields) {
    return new Problem(
        422,
        "Fields that cannot be used",
        fields.stream().map(Field::told).distinct().collect(Collectors.joining(" ")),
        fields.stream().map(Field::node).toList());
  }

  /**
   * One field that is wrong, where it is told to the person who typed it.
   *
   * @param detail a sentence with the name that the field has on the form
   * @param pointer where it stands, a JSON Pointer (RFC 6901)
   * @param forPrograms the same with the field as it is sent
   */
  static Problem wrongField(String detail, String pointer, String forPrograms) {
    return new Problem(
        400,
        "Not a usable request",
        detail,
        List.of(
            JsonNodeFactory.instance
                .objectNode()
                .put("pointer", "#" + pointer)
                .put("detail", forPrograms)
                .put("told", detail)));
  }

  /**
   * What none of our pages sends, unless it is older than the server.
   *
   * @param forPrograms a sentence with the field as it is sent
   */
  static Problem misread(String forPrograms) {
    return wrongField(MISREAD, "", forPrograms);
  }

  /** Nothing is written from here. */
  static Problem readOnly() {
    return forbidden(
        "Here the farm book is only read. Write it down on the pages of the Opercle that watches the"
            + " tanks.");
  }

  /** There are no records yet. */
  static Problem noFarmBook() {
    return notFound("There is no farm book yet; it comes when the tanks are first watched.");
  }

  static Problem badRequest(String detail) {
    return new Problem(400, "Not a usable request", detail);
  }

  static Problem logInFirst(String detail) {
    return new Problem(401, "Not logged in", detail);
  }

  static Problem tooMany(String detail) {
    return new Problem(429, "Too many tries", detail);
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

  /**
   * Not done before somebody says something.
   *
   * @param pointer where it is to be said, a JSON Pointer (RFC 6901)
   */
  static Problem ask(String pointer, String detail) {
    return new Problem(
        409,
        "Not done",
        detail,
        List.of(
            JsonNodeFactory.instance
                .objectNode()
                .put("pointer", "#" + pointer)
                .put("detail", detail)));
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

  static Problem storeAway() {
    return new Problem(
        503,
        "No readings just now",
        "The store of readings does not answer; Opercle's log says why. The watch goes on.");
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
    if (!errors.isEmpty()) {
      node.putArray("errors").addAll(errors);
    }
    return Json.bytes(node);
  }
}
