// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import com.fasterxml.jackson.core.type.TypeReference;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import io.javalin.http.Context;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.Map;
import java.util.Optional;
import opercle.analysis.book.RecordBook;
import opercle.analysis.book.RecordBook.Outcome;
import opercle.analysis.records.Entry;
import opercle.analysis.records.EntryFields;
import opercle.analysis.records.Recorded;
import opercle.analysis.records.WrongFieldException;

/** An entry of the records as it is sent: read, kept, answered. */
final class EntryPosts {

  /** A movement with its notes is longer than what people do to alarms. */
  private static final int LARGEST_BODY = 12 * 1024;

  private static final ObjectMapper PLAIN = new ObjectMapper();
  private static final TypeReference<Map<String, Object>> FIELDS = new TypeReference<>() {};

  private EntryPosts() {}

  static JsonNode body(Context ctx) {
    String type = ctx.contentType();
    if (type == null || !type.startsWith("application/json")) {
      throw Problem.wrongType("Content-Type must be application/json.");
    }
    byte[] bytes = ctx.bodyAsBytes();
    if (bytes.length > LARGEST_BODY) {
      throw Problem.tooLarge("The body must not be over %d bytes.".formatted(LARGEST_BODY));
    }
    return Json.read(bytes);
  }

  /** What the entry says; may be added to. */
  static Map<String, Object> fields(JsonNode body) {
    JsonNode fields = body.path("fields");
    if (!fields.isObject()) {
      throw Problem.misread("'fields' must be an object: what the entry says.");
    }
    return PLAIN.convertValue(fields, FIELDS);
  }

  /**
   * The entry that fields describe.
   *
   * @param zone of the farm, for the times in what is wrong
   */
  static Entry entry(Entry.Kind kind, Map<String, Object> fields, ZoneId zone) {
    try {
      return EntryFields.read(kind, fields);
    } catch (WrongFieldException e) {
      throw wrong(kind, e, zone);
    }
  }

  /** What is wrong: to a keeper by the field's name on their form, to a program by its own. */
  static Problem wrong(Entry.Kind kind, WrongFieldException e, ZoneId zone) {
    return Problem.wrongField(
        FieldNames.told(kind, e, zone), "/fields/" + e.field(), e.getMessage() + ".");
  }

  /** Keeps it, and answers 201, or 200 where it was kept before. */
  static Outcome keep(
      Context ctx, RecordBook book, Instant now, String by, JsonNode body, Entry entry) {
    if (!book.isWritable()) {
      throw Problem.readOnly();
    }
    Outcome outcome;
    try {
      outcome = book.keep(body.path("id").asText(), by, now, correction(body), entry);
    } catch (WrongFieldException e) { // of what goes with it: its id, who, why
      if (e.field().equals("id")) {
        throw Problem.misread(e.getMessage() + ".");
      }
      throw Problem.wrongField(
          FieldNames.told(entry.kind(), e, ZoneOffset.UTC), "/" + e.field(), e.getMessage() + ".");
    }
    if (outcome instanceof Outcome.Refused refused) {
      throw Problem.conflict(refused.reason() + ".");
    }
    Recorded recorded =
        outcome instanceof Outcome.Kept fresh
            ? fresh.recorded()
            : ((Outcome.KeptBefore) outcome).recorded();
    ctx.status(outcome instanceof Outcome.Kept ? 201 : 200);
    Api.answer(ctx, RecordsJson.kept(recorded));
    return outcome;
  }

  private static Optional<Recorded.Correction> correction(JsonNode body) {
    return body.hasNonNull("corrects")
        ? Optional.of(
            new Recorded.Correction(
                body.path("corrects").asText(),
                body.path("why").asText(),
                body.path("withdraws").asBoolean(false)))
        : Optional.empty();
  }
}
