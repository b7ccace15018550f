// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.tripfile;

import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Pattern;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.trip.RefusedEntryException;
import opercle.analysis.trip.TripEntry;
import opercle.analysis.trip.TripLog;
import opercle.analysis.watch.TankEvent;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;

/**
 * One trip as a file: what was written of it, its readings, alarms and noted events. So a lorry
 * without network runs its own Opercle, and the trip joins the farm's book later.
 *
 * <p>JSON, UTF-8. Readings stand by series, as times in whole microseconds after {@code start} and
 * values in the quantity's canonical unit. A file that cannot be used is refused whole, with one
 * message that names what and where.
 *
 * @param farm the farm's name where it was written
 * @param log the entries
 * @param readings of the tank, in order of series and time
 * @param alarms of the tank, in order of time
 * @param events noted at the tank, in order of time
 */
public record TripFile(
    String farm,
    TripLog log,
    List<Reading> readings,
    List<AlarmEvent> alarms,
    List<TankEvent> events) {

  private static final String FORM = "opercle-trip";
  private static final int VERSION = 1;
  private static final int MOST_ENTRIES = 10_000;
  private static final int MOST_SERIES = 200;
  private static final int MOST_READINGS = 5_000_000;
  private static final int MOST_EVENTS = 100_000;

  /** As probes are called everywhere: nothing that a spreadsheet would run. */
  private static final Pattern PROBE = Pattern.compile("[A-Za-z0-9][A-Za-z0-9._-]*");

  public TripFile {
    readings = List.copyOf(readings);
    alarms = List.copyOf(alarms);
    events = List.copyOf(events);
  }

  /** Writes the file; the stream stays open. */
  public void write(OutputStream out) throws IOException {
    Instant start = readings.stream().map(Reading::time).min(Instant::compareTo).orElse(log.from());
    Map<Series, List<Reading>> bySeries = new LinkedHashMap<>();
    readings.stream()
        .sorted(
            Comparator.comparing(Reading::quantity)
                .thenComparing(Reading::probe)
                .thenComparing(Reading::time))
        .forEach(r -> bySeries.computeIfAbsent(r.series(), s -> new ArrayList<>()).add(r));
    JsonGenerator g = EntryForm.JSON.createGenerator(out);
    g.disable(JsonGenerator.Feature.AUTO_CLOSE_TARGET);
    g.writeStartObject();
    g.writeStringField("form", FORM);
    g.writeNumberField("version", VERSION);
    g.writeStringField("farm", farm);
    g.writeArrayFieldStart("entries");
    for (TripEntry entry : log.entries()) {
      g.writeTree(EntryForm.write(entry));
    }
    g.writeEndArray();
    g.writeArrayFieldStart("alarms");
    for (AlarmEvent alarm : alarms) {
      g.writeTree(AlarmForm.write(alarm));
    }
    g.writeEndArray();
    g.writeArrayFieldStart("events");
    for (TankEvent event : events) {
      ObjectNode node = EntryForm.JSON.createObjectNode();
      node.put("time", event.time().toString()).put("kind", event.kind().id());
      event.by().ifPresent(by -> node.put("by", by));
      g.writeTree(node);
    }
    g.writeEndArray();
    g.writeArrayFieldStart("readings");
    for (Map.Entry<Series, List<Reading>> one : bySeries.entrySet()) {
      write(g, one.getKey(), one.getValue(), start);
    }
    g.writeEndArray();
    g.writeEndObject();
    g.flush();
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

  /** An alarm event as JSON text, as it stands in a file. */
  public static String alarmText(AlarmEvent alarm) {
    return AlarmForm.write(alarm).toString();
  }

  /**
   * An alarm event of a tank from text that {@link #alarmText} wrote.
   *
   * @throws UnusableTripException if it is none
   */
  public static AlarmEvent parseAlarm(String text, String tank) {
    try {
      Fields f = Fields.of(EntryForm.JSON.readTree(text));
      Optional<AlarmEvent> alarm = AlarmForm.read(f, tank);
      if (alarm.isEmpty()) {
        throw new UnusableTripException("", f.faults());
      }
      return alarm.get();
    } catch (JsonProcessingException e) {
      throw new UnusableTripException("An alarm is no JSON: " + e.getOriginalMessage());
    }
  }

  /**
   * Reads a file.
   *
   * @param source what to call it in messages
   * @throws UnusableTripException if it is no trip file, naming what and where
   */
  public static TripFile read(String source, InputStream in) throws IOException {
    JsonNode root;
    try {
      root = EntryForm.JSON.readTree(in);
    } catch (JsonProcessingException e) {
      throw new UnusableTripException(
          "%s, line %d: is not well-formed JSON: %s"
              .formatted(
                  source,
                  e.getLocation() == null ? 0 : e.getLocation().getLineNr(),
                  e.getOriginalMessage()));
    }
    Fields f = Fields.of(root);
    if (!f.has("form") || !FORM.equals(root.path("form").asText())) {
      throw new UnusableTripException(
          "%s: is no trip file; its field \"form\" must be \"%s\"".formatted(source, FORM));
    }
    if (!f.has("version") || root.path("version").asInt() != VERSION) {
      throw new UnusableTripException(
          "%s: /version is %s, must be %d; update Opercle, or export the trip from this version"
              .formatted(source, root.path("version"), VERSION));
    }
    TripFile file;
    try {
      file = read(f, source);
    } catch (RefusedEntryException e) {
      throw new UnusableTripException(
          "%s: /entries do not make a trip: %s".formatted(source, e.getMessage()));
    }
    return file;
  }

  private static TripFile read(Fields f, String source) {
    String farm = f.text("farm", 1, 200);
    List<TripEntry> entries = new ArrayList<>();
    for (Fields entry : f.each("entries", 1, MOST_ENTRIES)) {
      EntryForm.read(entry).ifPresent(entries::add);
    }
    require(f, source); // what follows is about the trip's tank
    TripLog log = TripLog.of(entries);
    String tank = log.trip().tank().id();
    List<AlarmEvent> alarms = new ArrayList<>();
    f.each("alarms", 0, MOST_EVENTS).forEach(a -> AlarmForm.read(a, tank).ifPresent(alarms::add));
    List<TankEvent> events = new ArrayList<>();
    for (Fields e : f.each("events", 0, MOST_EVENTS)) {
      events.add(
          new TankEvent(
              tank,
              e.word("kind", EntryForm.words(TankEvent.Kind.values(), TankEvent.Kind::id)),
              e.time("time"),
              e.optionalText("by", 60)));
      e.noOthers();
    }
    List<Reading> readings = new ArrayList<>();
    f.each("readings", 0, MOST_SERIES).forEach(s -> readings.addAll(series(s, tank)));
    f.noOthers();
    require(f, source);
    if (readings.size() > MOST_READINGS) {
      throw new UnusableTripException(
          "%s: /readings hold %d readings, must be at most %d"
              .formatted(source, readings.size(), MOST_READINGS));
    }
    return new TripFile(farm, log, readings, alarms, events);
  }

  private static void require(Fields f, String source) {
    if (!f.faults().isEmpty()) {
      throw new UnusableTripException(source + ": ", f.faults());
    }
  }

  private static List<Reading> series(Fields s, String tank) {
    Quantity quantity = s.word("quantity", EntryForm.words(Quantity.values(), Quantity::id));
    String probe = s.text("probe", 1, 64);
    if (!PROBE.matcher(probe).matches()) {
      return s.wrong("probe", "letters, digits, dots, dashes and underlines", "", List.of());
    }
    s.word("unit", Map.of(quantity.unit(), quantity.unit()));
    Instant start = s.time("start");
    JsonNode micros = s.list("micros");
    JsonNode values = s.list("values");
    s.noOthers();
    List<Reading> readings = new ArrayList<>();
    if (micros.size() != values.size()) {
      return s.wrong("values", "as many as /micros, %d".formatted(micros.size()), "", readings);
    }
    for (int i = 0; i < micros.size(); i++) {
      Optional<Reading> reading =
          reading(tank, quantity, probe, start, micros.get(i), values.get(i));
      if (reading.isEmpty()) {
        return s.wrong(
            values.get(i).isNumber() && quantity.isPlausible(values.get(i).doubleValue())
                ? "micros/" + i
                : "values/" + i,
            "whole microseconds, and a value of %s–%s"
                .formatted(quantity.lowestPlausible(), quantity.highestPlausible()),
            quantity.unit(),
            readings);
      }
      readings.add(reading.get());
    }
    return readings;
  }

  private static Optional<Reading> reading(
      String tank, Quantity quantity, String probe, Instant start, JsonNode at, JsonNode value) {
    if (!at.isIntegralNumber()
        || !at.canConvertToLong()
        || Math.abs(at.longValue()) > 366L * 86_400_000_000L
        || !value.isNumber()
        || !quantity.isPlausible(value.doubleValue())) {
      return Optional.empty();
    }
    return Optional.of(
        new Reading(
            tank,
            quantity,
            probe,
            start.plus(at.longValue(), ChronoUnit.MICROS),
            value.doubleValue()));
  }
}
