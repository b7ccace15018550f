// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import java.time.DateTimeException;
import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalLong;
import java.util.Set;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;

/** Fields as they are asked for one by one. */
final class FieldReader {

  /** Nothing that is written down is older, or still to come after the latter. */
  private static final Instant EARLIEST = Instant.parse("1900-01-01T00:00:00Z");

  private static final Instant LATEST = Instant.parse("2200-01-01T00:00:00Z");

  private static final int LONGEST_SAID = 40;

  private final Entry.Kind kind;
  private final Map<String, ?> fields;
  private final Set<String> asked = new HashSet<>();

  FieldReader(Entry.Kind kind, Map<String, ?> fields) {
    this.kind = kind;
    this.fields = fields;
  }

  boolean has(String name) {
    asked.add(name);
    return fields.get(name) != null;
  }

  WrongFieldException wrong(String name, String wanted) {
    Object value = fields.get(name);
    return value == null
        ? new WrongFieldException(name, "must be " + wanted + " but is missing", "is needed")
        : new WrongFieldException(
            name, "must be %s but was '%s'".formatted(wanted, shortened(value)));
  }

  /** The same where a form offers words of its own, and none can be typed. */
  private WrongFieldException wrongChoice(String name, String wanted) {
    return new WrongFieldException(
        name,
        "must be %s but was '%s'".formatted(wanted, shortened(fields.get(name))),
        "choose one of those that are offered");
  }

  /** So that a sentence is not drowned in what was typed. */
  private static String shortened(@Nullable Object value) {
    String text = String.valueOf(value);
    return text.length() > LONGEST_SAID ? text.substring(0, LONGEST_SAID) + "…" : text;
  }

  String text(String name) {
    if (has(name) && fields.get(name) instanceof String text) {
      return text;
    }
    throw wrong(name, "text");
  }

  Optional<String> perhaps(String name) {
    return has(name)
        ? Optional.of(text(name)).map(String::strip).filter(t -> !t.isEmpty())
        : Optional.empty();
  }

  <E> E word(String name, Function<String, Optional<E>> words) {
    return words
        .apply(text(name))
        .orElseThrow(() -> wrongChoice(name, "one of the words for a " + kind.words()));
  }

  OptionalDouble number(String name) {
    if (!has(name)) {
      return OptionalDouble.empty();
    }
    if (fields.get(name) instanceof Number number) {
      return OptionalDouble.of(number.doubleValue());
    }
    throw wrong(name, "a number");
  }

  OptionalLong whole(String name) {
    if (!has(name)) {
      return OptionalLong.empty();
    }
    Object value = fields.get(name);
    if (value instanceof Integer || value instanceof Long) {
      return OptionalLong.of(((Number) value).longValue());
    }
    throw wrong(name, "a whole number");
  }

  int few(String name, String of) {
    long number = whole(name).orElseThrow(() -> wrong(name, "a whole number of " + of));
    return (int) Math.max(-1, Math.min(1000, number)); // the entry says which are allowed
  }

  Optional<LocalDate> day(String name) {
    return perhaps(name)
        .map(
            text -> {
              try {
                return LocalDate.parse(text);
              } catch (DateTimeException e) {
                throw wrong(name, "a day such as 2026-11-20");
              }
            });
  }

  Instant time(String name) {
    try {
      Instant time = Instant.parse(text(name));
      if (!time.isBefore(EARLIEST) && time.isBefore(LATEST)) {
        return time;
      }
    } catch (DateTimeException e) {
      // told below
    }
    throw new WrongFieldException(
        name,
        "must be a time such as 2026-11-20T08:00:00Z but was '%s'"
            .formatted(shortened(fields.get(name))),
        "must be a day and a time");
  }

  List<String> list(String name) {
    if (!has(name)) {
      return List.of();
    }
    List<String> ids = new ArrayList<>();
    if (fields.get(name) instanceof List<?> values) {
      for (Object value : values) {
        if (!(value instanceof String id)) {
          throw wrongChoice(name, "a list of ids");
        }
        ids.add(id);
      }
      return ids;
    }
    throw wrongChoice(name, "a list of ids");
  }

  void requireAllKnown() {
    for (String name : fields.keySet()) {
      if (!asked.contains(name)) {
        throw new WrongFieldException(
            name,
            "a %s has no such field".formatted(kind.words()),
            "is not known here; load the page again");
      }
    }
  }
}
