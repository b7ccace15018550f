// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.payload;

import com.fasterxml.jackson.core.JsonPointer;
import java.util.List;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Units;

/**
 * How to find one reading in the JSON of a device that has its own topics and its own shape.
 *
 * <p>Several mappings may take different readings from one message.
 *
 * @param topicFilter MQTT topic filter, with the wildcards + and #
 * @param tank the tank's id, or <code>{1}</code>, <code>{2}</code> and so on for the topic level
 *     that the first, second … {@code +} of the filter stands for
 * @param quantity what is measured
 * @param probe the probe's name, or a level of the topic as for the tank
 * @param valuePointer JSON Pointer (RFC 6901) to the value: a number, or a string that holds one
 * @param timePointer JSON Pointer to the time: RFC 3339 text, or a number of seconds since 1970;
 *     numbers from 100 billion (the year 5138) up are milliseconds. Without it the time of arrival
 *     counts
 * @param unit the unit, the canonical one if absent
 * @param unitPointer JSON Pointer to the unit, which goes before {@code unit} where it finds one
 */
public record TopicMapping(
    String topicFilter,
    String tank,
    Quantity quantity,
    String probe,
    String valuePointer,
    Optional<String> timePointer,
    Optional<String> unit,
    Optional<String> unitPointer) {

  private static final Pattern LEVEL = Pattern.compile("\\{(\\d{1,3})}");

  /**
   * @throws IllegalArgumentException if filter, pointer, name or unit can never work; the message
   *     names the field and what is wrong with it
   */
  public TopicMapping {
    int wildcards = TopicFilter.of(topicFilter).singleLevelWildcards();
    requireNameOrLevel("tank", tank, wildcards);
    requireNameOrLevel("probe", probe, wildcards);
    requirePointer("value", valuePointer);
    timePointer.ifPresent(p -> requirePointer("time", p));
    unitPointer.ifPresent(p -> requirePointer("unit", p));
    unit.ifPresent(u -> requireUnit(quantity, u));
  }

  /** A mapping in the canonical unit, with the time of arrival. */
  public static TopicMapping of(
      String topicFilter, String tank, Quantity quantity, String valuePointer) {
    return new TopicMapping(
        topicFilter,
        tank,
        quantity,
        Reading.DEFAULT_PROBE,
        valuePointer,
        Optional.empty(),
        Optional.empty(),
        Optional.empty());
  }

  /** The topics on which it finds readings of a tank; empty if it never does. */
  Optional<String> topicsOf(String id) {
    Matcher level = LEVEL.matcher(tank);
    if (!level.matches()) {
      return Optional.of(topicFilter).filter(f -> tank.equals(id));
    }
    int wanted = Integer.parseInt(level.group(1));
    String[] levels = topicFilter.split("/", -1);
    int seen = 0;
    for (int i = 0; i < levels.length; i++) {
      if (levels[i].equals("+") && ++seen == wanted) {
        levels[i] = id;
      }
    }
    return Optional.of(String.join("/", levels));
  }

  /** The name itself, or the level of the topic that it stands for. */
  static String fill(String nameOrLevel, List<String> captured) {
    Matcher level = LEVEL.matcher(nameOrLevel);
    return level.matches() ? captured.get(Integer.parseInt(level.group(1)) - 1) : nameOrLevel;
  }

  private static void requireNameOrLevel(String field, String value, int wildcards) {
    Matcher level = LEVEL.matcher(value);
    if (level.matches()) {
      int number = Integer.parseInt(level.group(1));
      if (number < 1 || number > wildcards) {
        throw new IllegalArgumentException(
            "%s: %s asks for a + that the topic filter does not have; it has %d"
                .formatted(field, value, wildcards));
      }
    } else if (!Names.isSane(value)) {
      throw new IllegalArgumentException(
          "%s: \"%s\" is not a name: %s".formatted(field, value, Names.RULE));
    }
  }

  private static void requirePointer(String field, String pointer) {
    try {
      JsonPointer.compile(pointer);
    } catch (IllegalArgumentException e) {
      throw new IllegalArgumentException(
          "%s: \"%s\" is not a JSON Pointer; it must be empty or start with /"
              .formatted(field, pointer),
          e);
    }
  }

  private static void requireUnit(Quantity quantity, String unit) {
    if (Units.toCanonical(quantity, 0.0, unit).isEmpty()) {
      throw new IllegalArgumentException(
          "unit: %s has no unit \"%s\"; it has %s"
              .formatted(quantity.id(), unit, Units.accepted(quantity)));
    }
  }
}
