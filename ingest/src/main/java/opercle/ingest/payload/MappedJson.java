// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.payload;

import com.ethlo.time.ITU;
import com.fasterxml.jackson.core.JsonPointer;
import com.fasterxml.jackson.databind.JsonNode;
import java.time.DateTimeException;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.ingest.reading.Rejection.Reason;

/** One {@link TopicMapping}, compiled, and applied to the JSON of one message. */
final class MappedJson {

  /** Numbers from here up are milliseconds: as seconds they would lie beyond the year 5138. */
  private static final double MILLISECONDS_FROM = 1e11;

  private static final double LATEST_MS = 1e14;

  private final TopicMapping mapping;
  private final TopicFilter filter;
  private final JsonPointer valuePointer;
  private final Optional<JsonPointer> timePointer;
  private final Optional<JsonPointer> unitPointer;

  MappedJson(TopicMapping mapping) {
    this.mapping = mapping;
    this.filter = TopicFilter.of(mapping.topicFilter());
    this.valuePointer = JsonPointer.compile(mapping.valuePointer());
    this.timePointer = mapping.timePointer().map(JsonPointer::compile);
    this.unitPointer = mapping.unitPointer().map(JsonPointer::compile);
  }

  /** The place that the mapping gives a message of this topic, or empty if it does not apply. */
  Optional<Place> place(String topic) {
    return filter.match(topic).map(this::place);
  }

  private Place place(List<String> captured) {
    return new Place(
        TopicMapping.fill(mapping.tank(), captured),
        mapping.quantity(),
        TopicMapping.fill(mapping.probe(), captured));
  }

  /** Hands the message's reading, or what is wrong with it, to the intake. */
  void read(JsonNode message, Place place, Intake intake) {
    JsonNode node = message.at(valuePointer);
    if (node.isMissingNode()) {
      intake.reject(
          Reason.MALFORMED,
          "%s: nothing at \"%s\" in the message",
          place.quantity().id(),
          mapping.valuePointer());
      return;
    }
    OptionalDouble value = number(node);
    if (value.isEmpty()) {
      intake.reject(
          Reason.NOT_A_NUMBER,
          "%s: the value at \"%s\" is %s; it must be a number",
          place.quantity().id(),
          mapping.valuePointer(),
          Names.shown(node.toString()));
      return;
    }
    Optional<String> unit =
        unitPointer
            .map(message::at)
            .filter(JsonNode::isTextual)
            .map(JsonNode::textValue)
            .or(mapping::unit);
    if (unit.isEmpty() && unitPointer.isPresent()) {
      intake.reject(
          Reason.UNKNOWN_UNIT,
          "%s: no unit at \"%s\" in the message",
          place.quantity().id(),
          unitPointer.get());
      return;
    }
    if (timePointer.isEmpty()) {
      intake.takeAtArrival("", place, value.getAsDouble(), unit, Duration.ZERO);
      return;
    }
    Optional<Instant> time = time(message.at(timePointer.get()));
    if (time.isEmpty()) {
      intake.reject(
          Reason.IMPLAUSIBLE_TIME,
          "%s: the time at \"%s\" is %s; it must be RFC 3339 text, or seconds or milliseconds since"
              + " 1970",
          place.quantity().id(),
          timePointer.get(),
          Names.shown(message.at(timePointer.get()).toString()));
      return;
    }
    intake.take("", place, value.getAsDouble(), unit, time.get());
  }

  private static OptionalDouble number(JsonNode node) {
    if (node.isNumber()) {
      return OptionalDouble.of(node.doubleValue());
    }
    return node.isTextual() ? PlainNumber.parse(node.textValue().strip()) : OptionalDouble.empty();
  }

  private static Optional<Instant> time(JsonNode node) {
    OptionalDouble number = number(node);
    if (number.isPresent()) {
      double given = number.getAsDouble();
      double millis = Math.abs(given) < MILLISECONDS_FROM ? given * 1000.0 : given;
      return Math.abs(millis) < LATEST_MS
          ? Optional.of(Instant.ofEpochMilli(Math.round(millis)))
          : Optional.empty();
    }
    if (!node.isTextual()) {
      return Optional.empty();
    }
    try {
      return Optional.of(ITU.parseDateTime(node.textValue().strip()).toInstant());
    } catch (DateTimeException | IllegalArgumentException e) {
      return Optional.empty();
    }
  }
}
