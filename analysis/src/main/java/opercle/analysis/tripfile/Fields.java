// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.tripfile;

import com.fasterxml.jackson.databind.JsonNode;
import java.time.DateTimeException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Iterator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.TreeSet;
import java.util.regex.Pattern;
import opercle.analysis.Band;
import opercle.analysis.ValidRange;
import opercle.ingest.settings.Nearest;
import org.jspecify.annotations.Nullable;

/**
 * Reads the fields of one JSON object and remembers all that is wrong, each by where it stands.
 * What cannot be read is given as a stand-in, so that reading goes on: ask for the faults before
 * using anything. Made for one reading and thrown away.
 */
final class Fields {

  static final Instant EARLIEST = Instant.parse("2000-01-01T00:00:00Z");
  static final Instant LATEST = Instant.parse("2100-01-01T00:00:00Z");

  private static final Pattern ID = Pattern.compile("[A-Za-z0-9][A-Za-z0-9._:-]{0,63}");
  private static final String TIME_FORM = "a time of the years 2000 to 2099";

  private final JsonNode node;
  private final String at;
  private final List<Fault> faults;
  private final List<String> asked = new ArrayList<>();

  private Fields(JsonNode node, String at, List<Fault> faults) {
    this.node = node;
    this.at = at;
    this.faults = faults;
  }

  /** The whole of a document. */
  static Fields of(JsonNode node) {
    Fields fields = new Fields(node, "", new ArrayList<>());
    if (!node.isObject()) {
      fields.wrong("", "named values", "");
    }
    return fields;
  }

  List<Fault> faults() {
    return faults;
  }

  /** Whether there is such a field, and not null. */
  boolean has(String name) {
    return !get(name).isMissingNode() && !get(name).isNull();
  }

  /** An object in it. */
  Fields in(String name) {
    Fields inner = new Fields(get(name), at + "/" + name, faults);
    if (!inner.node.isObject()) {
      wrong(name, "named values", "");
    }
    return inner;
  }

  /** The objects of a list in it. */
  List<Fields> each(String name, int least, int most) {
    JsonNode list = get(name);
    if (list.isMissingNode() && least == 0) {
      return List.of();
    }
    if (!list.isArray() || list.size() < least || list.size() > most) {
      wrong(name, "a list of %d–%d".formatted(least, most), "");
      return List.of();
    }
    List<Fields> inner = new ArrayList<>();
    for (int i = 0; i < list.size(); i++) {
      Fields one = new Fields(list.get(i), at + "/" + name + "/" + i, faults);
      if (!one.node.isObject()) {
        one.wrong("", "named values", "");
      }
      inner.add(one);
    }
    return inner;
  }

  /** The objects of a list that was read apart, at most so many, as if they stood in it. */
  List<Fields> each(String name, JsonNode list, int most) {
    Fields apart = new Fields(EntryForm.JSON.createObjectNode().set(name, list), at, faults);
    return apart.each(name, 0, most);
  }

  /** An id as a client gives it. */
  String id(String name) {
    JsonNode value = get(name);
    if (value.isTextual() && ID.matcher(value.textValue()).matches()) {
      return value.textValue();
    }
    return wrong(name, "1–64 letters, digits and . _ : -", "", "id");
  }

  Optional<String> optionalId(String name) {
    return has(name) ? Optional.of(id(name)) : Optional.empty();
  }

  /** Text of one or more lines, its ends stripped; empty text where it may be. */
  String text(String name, int least, int most) {
    JsonNode value = get(name);
    String text = value.isTextual() ? value.textValue().strip() : "";
    boolean isText = value.isTextual() || (least == 0 && (value.isMissingNode() || value.isNull()));
    boolean fits =
        text.length() >= least
            && text.length() <= most
            && text.codePoints().noneMatch(c -> Character.isISOControl(c) && c != '\n');
    return isText && fits
        ? text
        : wrong(name, "text of %d–%d letters".formatted(least, most), "", "-");
  }

  Optional<String> optionalText(String name, int most) {
    return has(name) ? Optional.of(text(name, 1, most)) : Optional.empty();
  }

  /** A list of short texts; empty where there is none. */
  List<String> texts(String name, int most, int longest) {
    JsonNode list = get(name);
    List<String> texts = new ArrayList<>();
    list.forEach(one -> texts.add(one.isTextual() ? one.textValue().strip() : ""));
    boolean fits =
        (list.isArray() || list.isMissingNode())
            && texts.size() <= most
            && texts.stream().allMatch(t -> !t.isEmpty() && t.length() <= longest);
    return fits ? texts : wrong(name, "a list of at most %d texts".formatted(most), "", List.of());
  }

  Instant time(String name) {
    return time(get(name), name);
  }

  private Instant time(JsonNode value, String name) {
    try {
      Instant time = Instant.parse(value.asText());
      if (!time.isBefore(EARLIEST) && time.isBefore(LATEST)) {
        return time;
      }
    } catch (DateTimeException e) {
      // told below, with what is there
    }
    return wrong(name, TIME_FORM, "", EARLIEST);
  }

  double number(String name, ValidRange range) {
    JsonNode value = get(name);
    if (value.isNumber()) {
      double number = value.doubleValue();
      if (number >= range.low() && number <= range.high()) {
        return number;
      }
    }
    return wrong(name, plain(range.low()) + "–" + plain(range.high()), range.unit(), range.low());
  }

  OptionalDouble optional(String name, ValidRange range) {
    return has(name) ? OptionalDouble.of(number(name, range)) : OptionalDouble.empty();
  }

  OptionalInt count(String name, int least, int most) {
    if (!has(name)) {
      return OptionalInt.empty();
    }
    JsonNode value = get(name);
    if (value.isIntegralNumber()
        && value.canConvertToInt()
        && value.intValue() >= least
        && value.intValue() <= most) {
      return OptionalInt.of(value.intValue());
    }
    return wrong(name, "a whole number %d–%d".formatted(least, most), "", OptionalInt.of(least));
  }

  /** True or false. */
  boolean flag(String name) {
    JsonNode value = get(name);
    return value.isBoolean() ? value.booleanValue() : wrong(name, "true or false", "", false);
  }

  /** A list of ids; empty where there is none. */
  List<String> ids(String name, int most) {
    List<String> ids = new ArrayList<>();
    JsonNode list = get(name);
    if (list.isMissingNode()) {
      return ids;
    }
    for (JsonNode one : list) {
      ids.add(one.asText());
    }
    boolean fits = list.isArray() && ids.size() <= most;
    return fits && ids.stream().allMatch(i -> ID.matcher(i).matches())
        ? ids
        : wrong(name, "a list of at most %d names".formatted(most), "", new ArrayList<>());
  }

  /** One of some words. */
  <T> T word(String name, Map<String, T> choices) {
    JsonNode value = get(name);
    @Nullable T choice = value.isTextual() ? choices.get(value.textValue()) : null;
    if (choice != null) {
      return choice;
    }
    TreeSet<String> words = new TreeSet<>(choices.keySet());
    String near =
        value.isTextual()
            ? Nearest.to(value.textValue(), words).map(" (did you mean %s?)"::formatted).orElse("")
            : "";
    return wrong(
        name, "one of " + String.join(", ", words) + near, "", choices.values().iterator().next());
  }

  Band band(String name, ValidRange range) {
    Fields in = in(name);
    double low = in.number("low", range);
    double likely = in.number("likely", range);
    double high = in.number("high", range);
    in.noOthers();
    if (low <= likely && likely <= high) {
      return new Band(low, likely, high);
    }
    return wrong(name, "low, likely and high in that order", "", Band.exactly(range.low()));
  }

  /** Says of every field that nobody asked for that it is not known here. */
  void noOthers() {
    for (Iterator<String> names = node.fieldNames(); names.hasNext(); ) {
      String name = names.next();
      if (!asked.contains(name)) {
        wrong(
            name,
            "no such field"
                + Nearest.to(name, asked).map(" (did you mean %s?)"::formatted).orElse(""),
            "");
      }
    }
  }

  <T> T wrong(String name, String limit, String unit, T standIn) {
    wrong(name, limit, unit);
    return standIn;
  }

  void wrong(String name, String limit, String unit) {
    fault(name, said(name.isEmpty() ? node : node.at("/" + name)), limit, unit);
  }

  /** The same with what stands there, where it is not in the tree. */
  void fault(String name, String said, String limit, String unit) {
    faults.add(new Fault(name.isEmpty() ? at : at + "/" + name, said, limit, unit));
  }

  private JsonNode get(String name) {
    if (!asked.contains(name)) {
      asked.add(name);
    }
    return node.path(name);
  }

  private static String said(JsonNode value) {
    if (value.isMissingNode() || value.isNull()) {
      return "missing";
    }
    String text =
        value.isContainerNode() ? (value.isArray() ? "a list" : "an object") : value.toString();
    return text.length() > 60 ? text.substring(0, 57) + "…" : text;
  }

  private static String plain(double value) {
    return new java.math.BigDecimal(Double.toString(value)).stripTrailingZeros().toPlainString();
  }
}
