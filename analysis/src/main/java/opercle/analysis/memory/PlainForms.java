// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.memory;

import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.time.DateTimeException;
import java.time.Duration;
import java.time.Instant;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/** Forms of values without parts. Doubles keep every bit, NaN and the infinities included. */
final class PlainForms {

  static final Map<Class<?>, Form> ALL =
      Map.ofEntries(
          Map.entry(boolean.class, new Bool()),
          Map.entry(Boolean.class, new Bool()),
          Map.entry(int.class, new Whole(true)),
          Map.entry(Integer.class, new Whole(true)),
          Map.entry(long.class, new Whole(false)),
          Map.entry(Long.class, new Whole(false)),
          Map.entry(double.class, new Real()),
          Map.entry(Double.class, new Real()),
          Map.entry(String.class, new Text()),
          Map.entry(Instant.class, new Time()),
          Map.entry(Duration.class, new Span()));

  private PlainForms() {}

  private static final class Bool extends Form {
    @Override
    void write(JsonGenerator json, Object value) throws IOException {
      json.writeBoolean((Boolean) value);
    }

    @Override
    Object read(JsonNode node, Manner manner) throws UnreadableException {
      if (!node.isBoolean()) {
        throw unreadable(node, "true or false");
      }
      return node.booleanValue();
    }

    @Override
    String shape() {
      return "boolean";
    }

    @Override
    Object whenMissing() {
      return false;
    }
  }

  private static final class Whole extends Form {
    private final boolean small;

    Whole(boolean small) {
      this.small = small;
    }

    @Override
    void write(JsonGenerator json, Object value) throws IOException {
      json.writeNumber(((Number) value).longValue());
    }

    @Override
    Object read(JsonNode node, Manner manner) throws UnreadableException {
      if (small && node.isIntegralNumber() && node.canConvertToInt()) {
        return node.intValue();
      }
      if (!small && node.isIntegralNumber() && node.canConvertToLong()) {
        return node.longValue();
      }
      throw unreadable(node, "a whole number");
    }

    @Override
    String shape() {
      return small ? "int" : "long";
    }

    @Override
    Object whenMissing() {
      if (small) {
        return 0;
      }
      return 0L;
    }
  }

  private static final class Real extends Form {
    @Override
    void write(JsonGenerator json, Object value) throws IOException {
      double number = (Double) value;
      if (Double.isFinite(number)) {
        json.writeNumber(number); // the shortest text that reads back as the same double
      } else {
        json.writeString(Double.toString(number));
      }
    }

    @Override
    Object read(JsonNode node, Manner manner) throws UnreadableException {
      if (node.isNumber()) {
        return node.doubleValue();
      }
      return switch (node.asText()) {
        case "NaN" -> Double.NaN;
        case "Infinity" -> Double.POSITIVE_INFINITY;
        case "-Infinity" -> Double.NEGATIVE_INFINITY;
        default -> throw unreadable(node, "a number");
      };
    }

    @Override
    String shape() {
      return "double";
    }

    @Override
    Object whenMissing() {
      return Double.NaN;
    }
  }

  private static final class Text extends Form {
    @Override
    void write(JsonGenerator json, Object value) throws IOException {
      json.writeString((String) value);
    }

    @Override
    Object read(JsonNode node, Manner manner) throws UnreadableException {
      if (!node.isTextual()) {
        throw unreadable(node, "text");
      }
      return node.textValue();
    }

    @Override
    String shape() {
      return "text";
    }
  }

  private static final class Time extends Form {
    @Override
    void write(JsonGenerator json, Object value) throws IOException {
      json.writeString(value.toString()); // to the nanosecond
    }

    @Override
    Object read(JsonNode node, Manner manner) throws UnreadableException {
      try {
        return Instant.parse(node.asText());
      } catch (DateTimeException e) {
        throw unreadable(node, "a time");
      }
    }

    @Override
    String shape() {
      return "time";
    }
  }

  private static final class Span extends Form {
    @Override
    void write(JsonGenerator json, Object value) throws IOException {
      json.writeString(value.toString());
    }

    @Override
    Object read(JsonNode node, Manner manner) throws UnreadableException {
      try {
        return Duration.parse(node.asText());
      } catch (DateTimeException e) {
        throw unreadable(node, "a duration");
      }
    }

    @Override
    String shape() {
      return "duration";
    }
  }

  /** One of an enum's constants, by name. */
  static final class Choice extends Form {
    private final Class<?> type;

    Choice(Class<?> type) {
      this.type = type;
    }

    @Override
    void write(JsonGenerator json, Object value) throws IOException {
      json.writeString(((Enum<?>) value).name());
    }

    @Override
    Object read(JsonNode node, Manner manner) throws UnreadableException {
      Object constant = node.isTextual() ? named(node.textValue()) : null;
      if (constant == null) {
        throw unreadable(node, "one of " + type.getSimpleName());
      }
      return constant;
    }

    @Nullable Object named(String name) {
      for (Object constant : type.getEnumConstants()) {
        if (((Enum<?>) constant).name().equals(name)) {
          return constant;
        }
      }
      return null;
    }

    // Not its constants: where one is added, what is saved can still be read.
    @Override
    String shape() {
      return type.getSimpleName();
    }
  }
}
