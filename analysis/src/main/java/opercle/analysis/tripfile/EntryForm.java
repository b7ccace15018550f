// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.tripfile;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.TreeMap;
import java.util.function.Function;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import opercle.analysis.stock.Fish;
import opercle.analysis.stock.Species;
import opercle.analysis.trip.Trip;
import opercle.analysis.trip.TripEntry;
import opercle.analysis.trip.TripEntry.Loaded;
import opercle.analysis.trip.TripEntry.Loss;
import opercle.analysis.trip.TripEntry.StopCheck;
import opercle.analysis.trip.TripEntry.Unloaded;
import opercle.analysis.trip.TripEntry.Withdrawn;

/**
 * Entries of a trip as JSON, one form for the file, the farm book and the addresses. Times are RFC
 * 3339 in UTC, units stand in the names, what is not known is left out. Stateless; any thread.
 */
public final class EntryForm {

  static final ObjectMapper JSON = new ObjectMapper();
  static final Map<String, Species> SPECIES = words(Species.values(), Species::id);

  private static final Map<String, Fish> FISH = words(Fish.values(), Fish::id);
  private static final int LONGEST_NAME = 60;
  private static final int LONGEST_NOTE = 2000;
  private static final int MOST_FISH = 100_000_000;

  private EntryForm() {}

  static <T> Map<String, T> words(T[] values, Function<T, String> id) {
    return Stream.of(values)
        .collect(Collectors.toMap(id, v -> v, (a, b) -> a, () -> new TreeMap<>()));
  }

  /** The word for what an entry is. */
  public static String kind(TripEntry entry) {
    return entry.getClass().getSimpleName().toLowerCase(Locale.ROOT).replace("stop", "");
  }

  /** An entry as JSON. */
  public static ObjectNode write(TripEntry entry) {
    ObjectNode node = JSON.createObjectNode();
    node.put("kind", kind(entry));
    node.put("id", entry.id());
    node.put("time", entry.time().toString());
    node.put("by", entry.by());
    entry.corrects().ifPresent(c -> node.put("corrects", c));
    if (entry instanceof Loaded loaded) {
      node.set("trip", TripForm.write(loaded.trip()));
    } else if (entry instanceof StopCheck check) {
      node.put("fish", check.fish().id());
      put(node, "oxygenMgPerL", check.oxygenMgPerL());
      put(node, "temperatureC", check.temperatureC());
      put(node, "gasLPerMin", check.gasLPerMin());
      note(node, check.note());
    } else if (entry instanceof Unloaded out) {
      var losses = node.putArray("losses");
      for (Loss loss : out.losses()) {
        ObjectNode one = losses.addObject().put("species", loss.species().id());
        loss.count().ifPresent(n -> one.put("count", n));
        put(one, "kg", loss.kg());
      }
      put(node, "cylinderBar", out.cylinderBar());
      note(node, out.note());
    } else if (entry instanceof Withdrawn gone) {
      node.put("why", gone.why());
    }
    return node;
  }

  private static void note(ObjectNode node, String note) {
    if (!note.isEmpty()) {
      node.put("note", note);
    }
  }

  static void put(ObjectNode node, String name, OptionalDouble value) {
    value.ifPresent(v -> node.put(name, v));
  }

  /** An entry as JSON text. */
  public static String text(TripEntry entry) {
    return write(entry).toString();
  }

  /**
   * An entry from JSON text that {@link #text} wrote.
   *
   * @throws UnusableTripException if it is none
   */
  public static TripEntry parse(String text) {
    try {
      return read(JSON.readTree(text));
    } catch (JsonProcessingException e) {
      throw new UnusableTripException("An entry of a trip is no JSON: " + e.getOriginalMessage());
    }
  }

  /**
   * An entry from JSON.
   *
   * @throws UnusableTripException naming every field that is wrong
   */
  public static TripEntry read(JsonNode node) {
    Fields fields = Fields.of(node);
    Optional<TripEntry> entry = read(fields);
    if (entry.isEmpty() || !fields.faults().isEmpty()) {
      throw new UnusableTripException("", fields.faults());
    }
    return entry.get();
  }

  /** Reads one; empty where there are faults. */
  static Optional<TripEntry> read(Fields fields) {
    Map<String, Function<Fields, Optional<TripEntry>>> kinds =
        new TreeMap<>(
            Map.of(
                "loaded", EntryForm::loaded,
                "check", EntryForm::check,
                "unloaded", EntryForm::unloaded,
                "withdrawn", EntryForm::withdrawn));
    int before = fields.faults().size();
    Function<Fields, Optional<TripEntry>> kind = fields.word("kind", kinds);
    if (fields.faults().size() > before) {
      return Optional.empty();
    }
    Optional<TripEntry> entry = kind.apply(fields);
    fields.noOthers();
    return fields.faults().size() > before ? Optional.empty() : entry;
  }

  private static String by(Fields f) {
    String by = f.text("by", 1, LONGEST_NAME);
    return by.indexOf('\n') < 0 ? by : f.wrong("by", "a name on one line", "", "-");
  }

  private static Optional<TripEntry> loaded(Fields f) {
    String id = f.id("id");
    var time = f.time("time");
    String by = by(f);
    Optional<String> corrects = f.optionalId("corrects");
    return TripForm.read(f.in("trip")).map(trip -> new Loaded(id, time, by, corrects, trip));
  }

  private static Optional<TripEntry> check(Fields f) {
    return Optional.of(
        new StopCheck(
            f.id("id"),
            f.time("time"),
            by(f),
            f.optionalId("corrects"),
            f.word("fish", FISH),
            f.optional("oxygenMgPerL", StopCheck.OXYGEN),
            f.optional("temperatureC", StopCheck.TEMPERATURE),
            f.optional("gasLPerMin", opercle.analysis.trip.TripTank.FLOW),
            f.text("note", 0, LONGEST_NOTE)));
  }

  private static Optional<TripEntry> withdrawn(Fields f) {
    return Optional.of(
        new Withdrawn(f.id("id"), f.time("time"), by(f), f.text("why", 1, LONGEST_NOTE)));
  }

  private static Optional<TripEntry> unloaded(Fields f) {
    List<Loss> losses =
        f.each("losses", 0, 20).stream()
            .map(
                l -> {
                  Loss loss =
                      new Loss(
                          l.word("species", SPECIES),
                          l.count("count", 0, MOST_FISH),
                          l.optional("kg", Trip.KG));
                  if (loss.count().isEmpty() && loss.kg().isEmpty()) {
                    l.wrong("count", "a count, or kg", "");
                  }
                  l.noOthers();
                  return loss;
                })
            .toList();
    return Optional.of(
        new Unloaded(
            f.id("id"),
            f.time("time"),
            by(f),
            f.optionalId("corrects"),
            losses,
            f.optional("cylinderBar", Trip.CYLINDER_BAR),
            f.text("note", 0, LONGEST_NOTE)));
  }
}
