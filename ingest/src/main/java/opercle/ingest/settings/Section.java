// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.settings;

import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.format.DateTimeParseException;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.Set;
import java.util.function.Function;
import java.util.stream.Collectors;
import org.snakeyaml.engine.v2.common.FlowStyle;
import org.snakeyaml.engine.v2.nodes.MappingNode;
import org.snakeyaml.engine.v2.nodes.Node;
import org.snakeyaml.engine.v2.nodes.NodeTuple;
import org.snakeyaml.engine.v2.nodes.ScalarNode;
import org.snakeyaml.engine.v2.nodes.SequenceNode;
import org.snakeyaml.engine.v2.nodes.Tag;

/**
 * One mapping of a YAML file, read strictly: the caller takes the keys it knows, and {@link
 * #finish} reports every key that nobody took, with the nearest known one.
 *
 * <p>A value that is wrong is noted in the file's {@link Problems} and a harmless stand-in is
 * returned, so that reading goes on and all problems are found at once. The result must not be used
 * before {@link Problems#throwIfAny}. One thread only.
 */
public final class Section {

  private final String source;
  private final String path;
  private final Problems problems;
  private final int line;
  private final Map<String, Node> values = new LinkedHashMap<>();
  private final Map<String, Integer> keyLines = new LinkedHashMap<>();
  private final Set<String> known = new LinkedHashSet<>();

  Section(String source, String path, MappingNode mapping, Problems problems) {
    this.source = source;
    this.path = path;
    this.problems = problems;
    this.line = lineOf(mapping);
    for (NodeTuple tuple : mapping.getValue()) {
      if (tuple.getKeyNode() instanceof ScalarNode key) {
        keyLines.put(key.getValue(), lineOf(key));
        if (values.put(key.getValue(), tuple.getValueNode()) != null) {
          problem(key.getValue(), lineOf(key), "is given twice");
        }
      } else {
        problems.add(new Problem(source, lineOf(tuple.getKeyNode()), path, "a key must be a word"));
      }
    }
  }

  /** The line that the section starts on, counted from 1. */
  public int line() {
    return line;
  }

  /**
   * Whether the key is there. Counts as taking it, so that {@link #finish} does not call it
   * unknown.
   */
  public boolean has(String key) {
    known.add(key);
    return values.containsKey(key);
  }

  /** A required text. */
  public String text(String key) {
    return required(key, optionalText(key), "");
  }

  /** A text that may be left out. */
  public Optional<String> optionalText(String key) {
    return scalar(key)
        .flatMap(
            text -> {
              if (text.isBlank()) {
                problem(key, "must not be empty");
                return Optional.empty();
              }
              return Optional.of(text.strip());
            });
  }

  /** A required number within limits; {@code unit} is for the message, empty if there is none. */
  public double number(String key, String unit, double low, double high) {
    OptionalDouble value = optionalNumber(key, unit, low, high);
    if (value.isEmpty() && !values.containsKey(key)) {
      problem(key, line, "is missing: a number of " + unit);
    }
    return value.orElse(low);
  }

  /** A number within limits that may be left out. */
  public OptionalDouble optionalNumber(String key, String unit, double low, double high) {
    Optional<String> text = scalar(key);
    if (text.isEmpty()) {
      return OptionalDouble.empty();
    }
    double value;
    try {
      value = Double.parseDouble(text.get().strip());
    } catch (NumberFormatException e) {
      String comma = text.get().replace(',', '.');
      problem(
          key,
          "\"%s\" is not a number%s%s"
              .formatted(
                  text.get(),
                  unit.isEmpty() ? "" : " of " + unit,
                  comma.equals(text.get()) ? "" : " (did you mean " + comma + "?)"));
      return OptionalDouble.empty();
    }
    if (!(value >= low && value <= high)) {
      problem(
          key,
          "%s is outside %s to %s"
              .formatted(with(unit, plain(value)), plain(low), with(unit, plain(high))));
      return OptionalDouble.empty();
    }
    return OptionalDouble.of(value);
  }

  /** A whole number within limits that may be left out. */
  public OptionalInt optionalWhole(String key, String unit, int low, int high) {
    OptionalDouble value = optionalNumber(key, unit, low, high);
    if (value.isPresent() && value.getAsDouble() != Math.rint(value.getAsDouble())) {
      problem(
          key,
          plain(value.getAsDouble())
              + " must be a whole number"
              + (unit.isEmpty() ? "" : " of " + unit));
      return OptionalInt.empty();
    }
    return value.isPresent() ? OptionalInt.of((int) value.getAsDouble()) : OptionalInt.empty();
  }

  /** An instant in RFC 3339 that may be left out. */
  public Optional<Instant> optionalTime(String key) {
    return scalar(key)
        .flatMap(
            text -> {
              try {
                OffsetDateTime time = OffsetDateTime.parse(text.strip());
                if (time.getYear() >= 0 && time.getYear() <= 9999) { // RFC 3339: four digits
                  return Optional.of(time.toInstant());
                }
              } catch (DateTimeParseException e) {
                // told below
              }
              problem(
                  key,
                  "\"%s\" is not a time such as 2026-03-14T09:00:00Z (with its offset)"
                      .formatted(text));
              return Optional.empty();
            });
  }

  /**
   * A required word out of a fixed set.
   *
   * @param choices what may be written, and what it means, in the order to name them
   */
  public <T> T choice(String key, Map<String, T> choices) {
    T standIn = choices.values().iterator().next();
    Optional<String> text = scalar(key);
    if (text.isEmpty()) {
      if (!values.containsKey(key)) {
        problem(key, line, "is missing: one of " + String.join(", ", choices.keySet()));
      }
      return standIn;
    }
    T value = choices.get(text.get().strip());
    if (value == null) {
      problem(
          key,
          "\"%s\" is not one of %s%s"
              .formatted(
                  text.get(),
                  String.join(", ", choices.keySet()),
                  Nearest.to(text.get(), choices.keySet())
                      .map(" (did you mean %s?)"::formatted)
                      .orElse("")));
      return standIn;
    }
    return value;
  }

  /** A mapping that may be left out. The caller must {@link #finish} it. */
  public Optional<Section> optionalSection(String key) {
    known.add(key);
    Node node = values.get(key);
    if (node == null) {
      return Optional.empty();
    }
    if (node instanceof MappingNode mapping) {
      return Optional.of(new Section(source, child(key), mapping, problems));
    }
    problem(key, lineOf(node), "must hold keys and values, such as { gas: air }");
    return Optional.empty();
  }

  /** A required mapping: reads it, or notes that it is missing and gives the stand-in. */
  public <T> T section(String key, Function<Section, T> reader, T standIn) {
    if (!has(key)) {
      problem(key, line, "is missing");
    }
    return optionalSection(key).map(reader).orElse(standIn);
  }

  /**
   * The mappings of a list, or the one mapping that stands there in its place; empty if left out.
   */
  public List<Section> sections(String key) {
    known.add(key);
    Node node = values.get(key);
    List<Section> sections = new ArrayList<>();
    if (node instanceof SequenceNode sequence) {
      int index = 0;
      for (Node item : sequence.getValue()) {
        String itemPath = child(key) + "[" + index++ + "]";
        if (item instanceof MappingNode mapping) {
          sections.add(new Section(source, itemPath, mapping, problems));
        } else {
          problems.add(new Problem(source, lineOf(item), itemPath, "must hold keys and values"));
        }
      }
    } else if (node instanceof MappingNode mapping) {
      sections.add(new Section(source, child(key), mapping, problems));
    } else if (node != null) {
      problem(key, lineOf(node), "must be a list");
    }
    return sections;
  }

  /**
   * Like {@link #sections}, where a bare word may stand for a mapping that has it as its only key.
   */
  public List<Section> sectionsOrWords(String key) {
    if (!(values.get(key) instanceof SequenceNode sequence)) {
      return sections(key);
    }
    known.add(key);
    List<Section> sections = new ArrayList<>();
    int index = 0;
    for (Node item : sequence.getValue()) {
      String itemPath = child(key) + "[" + index++ + "]";
      if (item instanceof MappingNode mapping) {
        sections.add(new Section(source, itemPath, mapping, problems));
      } else if (item instanceof ScalarNode word) {
        MappingNode alone =
            new MappingNode(
                Tag.MAP,
                true,
                List.of(new NodeTuple(word, word)),
                FlowStyle.FLOW,
                item.getStartMark(),
                item.getEndMark());
        sections.add(new Section(source, itemPath, alone, problems));
      } else {
        problems.add(new Problem(source, lineOf(item), itemPath, "must hold keys and values"));
      }
    }
    return sections;
  }

  /**
   * Notes a problem of this key that only the caller can see, for instance a clash with another.
   */
  public void problem(String key, String message) {
    Node node = values.get(key);
    problem(key, node == null ? line : lineOf(node), message);
  }

  /** Reports every key that nobody took. */
  public void finish() {
    for (String key : values.keySet()) {
      if (!known.contains(key)) {
        problem(
            key,
            keyLines.getOrDefault(key, line),
            "unknown key"
                + Nearest.to(key, known)
                    .map(" (did you mean %s?)"::formatted)
                    .orElseGet(
                        () ->
                            known.stream()
                                .sorted()
                                .collect(Collectors.joining(", ", "; known here: ", ""))));
      }
    }
  }

  private Optional<String> scalar(String key) {
    known.add(key);
    Node node = values.get(key);
    if (node == null) {
      return Optional.empty();
    }
    if (node instanceof ScalarNode scalar) {
      return Optional.of(scalar.getValue());
    }
    problem(key, lineOf(node), "must be a single value");
    return Optional.empty();
  }

  private <T> T required(String key, Optional<T> value, T standIn) {
    if (value.isEmpty() && !values.containsKey(key)) {
      problem(key, line, "is missing");
    }
    return value.orElse(standIn);
  }

  private void problem(String key, int atLine, String message) {
    problems.add(new Problem(source, atLine, child(key), message));
  }

  private String child(String key) {
    return path.isEmpty() ? key : path + "." + key;
  }

  private static int lineOf(Node node) {
    return node.getStartMark().map(m -> m.getLine() + 1).orElse(0);
  }

  private static String with(String unit, String number) {
    return unit.isEmpty() ? number : number + " " + unit;
  }

  private static String plain(double value) {
    return value == Math.rint(value) && Math.abs(value) < 1e15
        ? Long.toString((long) value)
        : Double.toString(value);
  }
}
