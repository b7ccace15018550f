// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.tripfile;

import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.core.JsonToken;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.regex.Pattern;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;

/**
 * The readings of a trip's file, by series: times as whole microseconds after {@code start}, and
 * values. Half a day at one reading a second makes some hundred thousand numbers, so they are read
 * as they come, into plain numbers. Made for one reading of a file and thrown away.
 */
final class SeriesForm {

  static final int MOST_SERIES = 200;
  private static final int MOST_READINGS = 5_000_000;
  private static final long FARTHEST_MICROS = 366L * 86_400_000_000L;

  /** As probes are called everywhere: nothing that a spreadsheet would run. */
  private static final Pattern PROBE = Pattern.compile("[A-Za-z0-9][A-Za-z0-9._-]*");

  /** What stands beside the numbers of each series. */
  private final ArrayNode heads = EntryForm.JSON.createArrayNode();

  private final List<Numbers> micros = new ArrayList<>();
  private final List<Numbers> values = new ArrayList<>();
  private int readings;

  /** Numbers as they came; what is none is not a number, and remembered as it was written. */
  private static final class Numbers {
    private double[] all = new double[1024];
    private int size;
    private boolean isList;
    private final Map<Integer, String> wrong = new LinkedHashMap<>();

    private void add(double value) {
      if (size == all.length) {
        all = Arrays.copyOf(all, 2 * size);
      }
      all[size++] = value;
    }
  }

  static void write(JsonGenerator g, List<Reading> readings, Instant start) throws IOException {
    Map<Series, List<Reading>> bySeries = new LinkedHashMap<>();
    readings.stream()
        .sorted(
            Comparator.comparing(Reading::quantity)
                .thenComparing(Reading::probe)
                .thenComparing(Reading::time))
        .forEach(r -> bySeries.computeIfAbsent(r.series(), s -> new ArrayList<>()).add(r));
    g.writeArrayFieldStart("readings");
    for (Map.Entry<Series, List<Reading>> one : bySeries.entrySet()) {
      write(g, one.getKey(), one.getValue(), start);
    }
    g.writeEndArray();
  }

  private static void write(JsonGenerator g, Series series, List<Reading> readings, Instant start)
      throws IOException {
    g.writeStartObject();
    g.writeStringField("quantity", series.quantity().id());
    g.writeStringField("probe", series.probe());
    g.writeStringField("unit", series.quantity().unit());
    g.writeStringField("start", start.toString());
    g.writeArrayFieldStart("micros");
    for (Reading reading : readings) {
      g.writeNumber(ChronoUnit.MICROS.between(start, reading.time()));
    }
    g.writeEndArray();
    g.writeArrayFieldStart("values");
    for (Reading reading : readings) {
      g.writeNumber(reading.value());
    }
    g.writeEndArray();
    g.writeEndObject();
  }

  /** Takes up the list that the parser stands at the beginning of. */
  void take(JsonParser p, String source) throws IOException {
    if (p.currentToken() != JsonToken.START_ARRAY) {
      throw new UnusableTripException(
          "%s: /readings is %s, must be a list".formatted(source, p.getText()));
    }
    while (p.nextToken() != JsonToken.END_ARRAY) {
      if (p.currentToken() != JsonToken.START_OBJECT) {
        heads.add(EntryForm.JSON.<com.fasterxml.jackson.databind.JsonNode>readTree(p));
        micros.add(new Numbers());
        values.add(new Numbers());
        continue;
      }
      ObjectNode head = heads.addObject();
      Numbers times = new Numbers();
      Numbers said = new Numbers();
      while (p.nextToken() == JsonToken.FIELD_NAME) {
        String name = p.currentName();
        p.nextToken();
        switch (name) {
          case "micros" -> numbers(p, times, true);
          case "values" -> numbers(p, said, false);
          default -> head.set(name, EntryForm.JSON.readTree(p));
        }
      }
      micros.add(times);
      values.add(said);
      readings += said.size;
      if (readings > MOST_READINGS || heads.size() > MOST_SERIES) {
        throw new UnusableTripException(
            "%s: /readings hold %d readings in %d series, must be at most %d in %d"
                .formatted(source, readings, heads.size(), MOST_READINGS, MOST_SERIES));
      }
    }
  }

  private static void numbers(JsonParser p, Numbers into, boolean whole) throws IOException {
    into.isList = p.currentToken() == JsonToken.START_ARRAY;
    if (!into.isList) {
      p.skipChildren();
      return;
    }
    while (p.nextToken() != JsonToken.END_ARRAY) {
      JsonToken token = p.currentToken();
      boolean fits = whole ? token == JsonToken.VALUE_NUMBER_INT : token.isNumeric();
      if (!fits) {
        into.wrong.putIfAbsent(into.size, p.getText());
        p.skipChildren();
      }
      into.add(fits ? p.getDoubleValue() : Double.NaN); // microseconds of a year are exact in it
    }
  }

  /** What was taken up, of a tank; what is wrong is said by where it stands. */
  List<Reading> of(String tank, Fields file) {
    List<Reading> all = new ArrayList<>(readings);
    List<Fields> each = file.each("readings", heads, MOST_SERIES);
    for (int i = 0; i < each.size(); i++) {
      one(each.get(i), tank, micros.get(i), values.get(i), all);
    }
    return all;
  }

  private static void one(
      Fields s, String tank, Numbers micros, Numbers values, List<Reading> into) {
    int before = s.faults().size();
    Quantity quantity = s.word("quantity", EntryForm.words(Quantity.values(), Quantity::id));
    String probe = s.text("probe", 1, 64);
    if (!PROBE.matcher(probe).matches()) {
      s.wrong("probe", "letters, digits, dots, dashes and underlines", "");
    }
    s.word("unit", Map.of(quantity.unit(), quantity.unit()));
    Instant start = s.time("start");
    s.noOthers();
    if (!micros.isList || !values.isList) {
      s.wrong(micros.isList ? "values" : "micros", "a list", "");
    } else if (micros.size != values.size) {
      s.fault("values", values.size + " numbers", "as many as /micros, " + micros.size, "");
    }
    if (s.faults().size() > before) {
      return;
    }
    for (int i = 0; i < values.size; i++) {
      double at = micros.all[i];
      double value = values.all[i];
      boolean isValue = quantity.isPlausible(value);
      if (!isValue || !(Math.abs(at) <= FARTHEST_MICROS)) {
        Numbers bad = isValue ? micros : values;
        s.fault(
            (isValue ? "micros/" : "values/") + i,
            bad.wrong.getOrDefault(i, plain(bad.all[i])),
            "whole microseconds, and a value of %s–%s"
                .formatted(quantity.lowestPlausible(), quantity.highestPlausible()),
            quantity.unit());
        return;
      }
      into.add(new Reading(tank, quantity, probe, start.plus((long) at, ChronoUnit.MICROS), value));
    }
  }

  private static String plain(double value) {
    return value == Math.rint(value) && Math.abs(value) > 1e6
        ? Long.toString((long) value)
        : Double.toString(value);
  }
}
