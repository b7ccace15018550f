// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.tripfile;

import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.JsonToken;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.trip.RefusedEntryException;
import opercle.analysis.trip.TripEntry;
import opercle.analysis.trip.TripEntry.Loaded;
import opercle.analysis.trip.TripLog;
import opercle.analysis.watch.TankEvent;
import opercle.ingest.reading.Reading;

/**
 * One trip as a file: what was written of it, its readings, alarms and noted events. So a lorry
 * without network runs its own Opercle, and the trip joins the farm's book later.
 *
 * <p>JSON, UTF-8. Readings stand by series, as times in whole microseconds after {@code start} and
 * values in the quantity's canonical unit; pictures in base64. A file that cannot be used is
 * refused whole, with one message that names what and where.
 *
 * @param farm the farm's name where it was written
 * @param log the entries
 * @param readings of the tank, in order of series and time
 * @param alarms of the tank, in order of time
 * @param events noted at the tank, in order of time
 * @param photos that go with its checks
 */
public record TripFile(
    String farm,
    TripLog log,
    List<Reading> readings,
    List<AlarmEvent> alarms,
    List<TankEvent> events,
    List<TripPhoto> photos) {

  private static final String FORM = "opercle-trip";
  private static final int FIRST_VERSION = 1;

  /** 2: with pictures, salt and withdrawals; 3: with a movement record for each kind of fish. */
  private static final int VERSION = 3;

  private static final int MOST_ENTRIES = 10_000;
  private static final int MOST_EVENTS = 100_000;

  private static final Set<String> FIELDS =
      Set.of("form", "version", "farm", "entries", "alarms", "events", "photos");

  public TripFile {
    readings = List.copyOf(readings);
    alarms = List.copyOf(alarms);
    events = List.copyOf(events);
    photos = List.copyOf(photos);
  }

  /** A trip without pictures. */
  public TripFile(
      String farm,
      TripLog log,
      List<Reading> readings,
      List<AlarmEvent> alarms,
      List<TankEvent> events) {
    this(farm, log, readings, alarms, events, List.of());
  }

  /** The same with other pictures. */
  public TripFile withPhotos(List<TripPhoto> others) {
    return new TripFile(farm, log, readings, alarms, events, others);
  }

  /**
   * The same as a farm takes it in: if it is another farm's, its tank is told apart from those of
   * this one, which may have the same short name.
   *
   * @param ownFarm the name of the farm that takes it in
   */
  public TripFile takenInBy(String ownFarm) {
    if (farm.equals(ownFarm) || log.trip().tank().isOfOtherFarm()) {
      return this;
    }
    List<TripEntry> theirs = new ArrayList<>();
    for (TripEntry entry : log.entries()) {
      theirs.add(
          entry instanceof TripEntry.Loaded in
              ? new TripEntry.Loaded(
                  in.id(),
                  in.time(),
                  in.by(),
                  in.corrects(),
                  in.trip().withTank(in.trip().tank().ofFarm(farm)))
              : entry);
    }
    TripLog told = TripLog.of(theirs);
    String tank = told.trip().tank().id();
    return new TripFile(
        farm,
        told,
        readings.stream()
            .map(r -> new Reading(tank, r.quantity(), r.probe(), r.time(), r.value()))
            .toList(),
        alarms,
        events.stream().map(e -> new TankEvent(tank, e.kind(), e.time(), e.by())).toList(),
        photos);
  }

  /** The first version that can say all of it: a farm that has not updated yet can take it in. */
  private int version() {
    boolean isOfMoreRecords =
        log.entries().stream()
            .anyMatch(e -> e instanceof Loaded in && !in.trip().otherMovements().isEmpty());
    return isOfMoreRecords ? VERSION : VERSION - 1;
  }

  /** Writes the file; the stream stays open. */
  public void write(OutputStream out) throws IOException {
    Instant start = readings.stream().map(Reading::time).min(Instant::compareTo).orElse(log.from());
    JsonGenerator g = EntryForm.JSON.createGenerator(out);
    g.disable(JsonGenerator.Feature.AUTO_CLOSE_TARGET);
    g.writeStartObject();
    g.writeStringField("form", FORM);
    g.writeNumberField("version", version());
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
    SeriesForm.write(g, readings, start);
    g.writeArrayFieldStart("photos");
    for (TripPhoto photo : photos) {
      g.writeTree(photo.write());
    }
    g.writeEndArray();
    g.writeEndObject();
    g.flush();
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
    ObjectNode root = EntryForm.JSON.createObjectNode();
    SeriesForm series = new SeriesForm();
    try (JsonParser p = EntryForm.JSON.createParser(in)) {
      take(p, root, series, source);
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
      throw noTrip(source);
    }
    int version = root.path("version").asInt();
    if (!f.has("version") || version < FIRST_VERSION || version > VERSION) {
      throw new UnusableTripException(
          "%s: /version is %s, must be %d–%d; update Opercle, or export the trip from this version"
              .formatted(source, root.path("version"), FIRST_VERSION, VERSION));
    }
    TripFile file;
    try {
      file = read(f, series, source);
    } catch (RefusedEntryException e) {
      throw new UnusableTripException(
          "%s: /entries do not make a trip: %s".formatted(source, e.getMessage()));
    }
    return file;
  }

  /** The file as a tree, but for its readings, which are many and are taken up as they come. */
  private static void take(JsonParser p, ObjectNode root, SeriesForm series, String source)
      throws IOException {
    if (p.nextToken() != JsonToken.START_OBJECT) {
      throw noTrip(source);
    }
    while (p.nextToken() == JsonToken.FIELD_NAME) {
      String name = p.currentName();
      p.nextToken();
      if (name.equals("readings")) {
        series.take(p, source);
      } else if (FIELDS.contains(name)) {
        root.set(name, EntryForm.JSON.readTree(p));
      } else {
        p.skipChildren(); // it may be large, and is told below
        root.put(name, "…");
      }
    }
    if (p.currentToken() != JsonToken.END_OBJECT) {
      throw new UnusableTripException(source + ": ends in the middle");
    }
  }

  private static UnusableTripException noTrip(String source) {
    return new UnusableTripException(
        "%s is no trip file: it does not begin with \"form\": \"%s\".".formatted(source, FORM));
  }

  private static TripFile read(Fields f, SeriesForm series, String source) {
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
    List<Reading> readings = series.of(tank, f);
    List<TripPhoto> photos = new ArrayList<>();
    f.each("photos", 0, MOST_ENTRIES).forEach(p -> TripPhoto.read(p).ifPresent(photos::add));
    f.noOthers();
    require(f, source);
    Set<String> ids = log.entries().stream().map(TripEntry::id).collect(Collectors.toSet());
    for (TripPhoto photo : photos) {
      if (!ids.contains(photo.about())) {
        throw new UnusableTripException(
            "%s: /photos hold one of \"%s\", and the trip has no such entry"
                .formatted(source, photo.about()));
      }
    }
    return new TripFile(farm, log, readings, alarms, events, photos);
  }

  private static void require(Fields f, String source) {
    if (!f.faults().isEmpty()) {
      throw new UnusableTripException(source + ": ", f.faults());
    }
  }
}
