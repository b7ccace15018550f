// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.payload;

import com.fasterxml.jackson.databind.JsonNode;
import java.time.Duration;
import java.time.Instant;
import java.util.HashMap;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import opercle.ingest.reading.Rejection.Reason;

/**
 * Resolves a SenML pack (RFC 8428) record by record: base name, time, unit and value hold until the
 * next one; a time below 2^28 s is relative to the arrival.
 *
 * <p>Records without a number (text, yes or no, data, a sum alone) carry nothing that Opercle keeps
 * and are rejected one by one; a record that only sets base fields is silent. The integer labels of
 * CBOR (table 6) and the text labels of JSON are both understood in both.
 */
final class SenmlPack {

  /** RFC 8428, section 4.5.3: the border between relative and absolute time, in seconds. */
  private static final double ABSOLUTE_FROM_S = 268_435_456.0;

  /** RFC 8428's own version, the newest that there is. */
  private static final int VERSION = 10;

  /** Beyond this a number of seconds no longer fits an {@link Instant} in sensible years. */
  private static final double LATEST_S = 1e11;

  private static final Map<String, String> CBOR_LABELS =
      Map.ofEntries(
          Map.entry("-1", "bver"),
          Map.entry("-2", "bn"),
          Map.entry("-3", "bt"),
          Map.entry("-4", "bu"),
          Map.entry("-5", "bv"),
          Map.entry("-6", "bs"),
          Map.entry("0", "n"),
          Map.entry("1", "u"),
          Map.entry("2", "v"),
          Map.entry("3", "vs"),
          Map.entry("4", "vb"),
          Map.entry("5", "s"),
          Map.entry("6", "t"),
          Map.entry("7", "ut"),
          Map.entry("8", "vd"));

  private static final Set<String> OTHER_VALUES = Set.of("vs", "vb", "vd", "s");

  private final TopicPlace topic;
  private final Intake intake;

  private String baseName = "";
  private double baseTime;
  private Optional<String> baseUnit = Optional.empty();
  private Optional<Double> baseValue = Optional.empty();

  private SenmlPack(TopicPlace topic, Intake intake) {
    this.topic = topic;
    this.intake = intake;
  }

  /** Hands every reading of the pack, and every fault in it, to the intake. */
  static void read(JsonNode pack, TopicPlace topic, Intake intake) {
    if (!pack.isArray()) {
      intake.reject(
          Reason.MALFORMED,
          "the message is JSON, but no list of readings (RFC 8428); map this topic in the settings if"
              + " the device has a form of its own");
      return;
    }
    if (pack.isEmpty()) {
      intake.reject(Reason.EMPTY, "the list of readings is empty");
      return;
    }
    SenmlPack state = new SenmlPack(topic, intake);
    int number = 0;
    for (JsonNode node : pack) {
      number++;
      try {
        state.record("record " + number + ": ", node);
      } catch (FieldException e) {
        intake.reject(e.reason, "record %d: %s", number, e.getMessage());
        if (e.spoilsTheRest) {
          return;
        }
      }
    }
  }

  private void record(String where, JsonNode node) throws FieldException {
    if (!node.isObject()) {
      throw new FieldException(Reason.MALFORMED, "not an object with labels", false);
    }
    Map<String, JsonNode> fields = fields(node);
    takeBase(fields);

    Optional<Double> value = number(fields, "v");
    if (value.isEmpty()) {
      if (fields.keySet().stream().anyMatch(OTHER_VALUES::contains)) {
        throw new FieldException(
            Reason.NOT_A_NUMBER, "has no numeric value v, which is all that is kept", false);
      }
      boolean onlyBase =
          !fields.isEmpty() && fields.keySet().stream().allMatch(f -> f.startsWith("b"));
      if (onlyBase) {
        return;
      }
      if (baseValue.isEmpty()) {
        throw new FieldException(Reason.NOT_A_NUMBER, "has no value v", false);
      }
    }
    String name = baseName + text(fields, "n").orElse("");
    Optional<String> unit = text(fields, "u").or(() -> baseUnit);
    double sum = baseValue.orElse(0.0) + value.orElse(0.0);
    double seconds = baseTime + number(fields, "t").orElse(0.0);

    Optional<Place> place = topic.named(name);
    if (place.isEmpty()) {
      throw new FieldException(
          Reason.UNKNOWN_TOPIC,
          "the name \"%s\" does not end in a quantity, with or without a probe"
              .formatted(Names.shown(name)),
          false);
    }
    if (!(Math.abs(seconds) < LATEST_S)) { // this way round NaN is refused too
      throw new FieldException(
          Reason.IMPLAUSIBLE_TIME, "the time %s s is not one".formatted(seconds), false);
    }
    if (seconds < ABSOLUTE_FROM_S) {
      intake.takeAtArrival(where, place.get(), sum, unit, duration(seconds));
    } else {
      Instant time = Instant.EPOCH.plus(duration(seconds));
      intake.take(where, place.get(), sum, unit, time);
    }
  }

  private void takeBase(Map<String, JsonNode> fields) throws FieldException {
    Optional<Double> version = number(fields, "bver");
    if (version.isPresent() && !(version.get() <= VERSION)) {
      throw new FieldException(
          Reason.MALFORMED,
          "the readings are in version %s of their form (RFC 8428), newer than the %d that is understood"
              .formatted(version.get(), VERSION),
          true);
    }
    for (String label : fields.keySet()) {
      if (label.endsWith("_")) {
        throw new FieldException(
            Reason.MALFORMED,
            "the label \"%s\" must be understood (RFC 8428, section 4.4) and is not"
                .formatted(Names.shown(label)),
            true);
      }
    }
    // A base field that cannot be read would put every later record in the wrong place.
    try {
      baseName = text(fields, "bn").orElse(baseName);
      baseTime = number(fields, "bt").orElse(baseTime);
      baseUnit = text(fields, "bu").or(() -> baseUnit);
      baseValue = number(fields, "bv").or(() -> baseValue);
    } catch (FieldException e) {
      throw new FieldException(e.reason, e.getMessage() + "; the rest of the pack is lost", true);
    }
  }

  private static Map<String, JsonNode> fields(JsonNode node) {
    Map<String, JsonNode> fields = new HashMap<>();
    for (Map.Entry<String, JsonNode> field : node.properties()) {
      fields.put(CBOR_LABELS.getOrDefault(field.getKey(), field.getKey()), field.getValue());
    }
    return fields;
  }

  private static Optional<Double> number(Map<String, JsonNode> fields, String label)
      throws FieldException {
    JsonNode node = fields.get(label);
    if (node == null) {
      return Optional.empty();
    }
    if (!node.isNumber()) {
      throw new FieldException(
          Reason.NOT_A_NUMBER,
          "%s is %s; it must be a number".formatted(label, Names.shown(node.toString())),
          false);
    }
    return Optional.of(node.doubleValue());
  }

  private static Optional<String> text(Map<String, JsonNode> fields, String label)
      throws FieldException {
    JsonNode node = fields.get(label);
    if (node == null) {
      return Optional.empty();
    }
    if (!node.isTextual()) {
      throw new FieldException(
          Reason.MALFORMED,
          "%s is %s; it must be text".formatted(label, Names.shown(node.toString())),
          false);
    }
    return Optional.of(node.textValue());
  }

  /** To the microsecond, which a double still holds for today's dates. */
  private static Duration duration(double seconds) {
    long micros = Math.round(seconds * 1e6);
    return Duration.ofSeconds(
        Math.floorDiv(micros, 1_000_000L), Math.floorMod(micros, 1_000_000L) * 1000L);
  }

  /** A record that cannot be taken, on its way to the one place that rejects it. */
  private static final class FieldException extends Exception {
    private static final long serialVersionUID = 1L;
    private final Reason reason;
    private final boolean spoilsTheRest;

    FieldException(Reason reason, String message, boolean spoilsTheRest) {
      super(message, null, false, false);
      this.reason = reason;
      this.spoilsTheRest = spoilsTheRest;
    }

    @Override
    public String getMessage() {
      return String.valueOf(super.getMessage());
    }
  }
}
