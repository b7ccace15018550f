// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.book;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Supplier;
import java.util.stream.Stream;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.trip.PastDemand;
import opercle.analysis.trip.RefusedEntryException;
import opercle.analysis.trip.Trip;
import opercle.analysis.trip.TripEntry;
import opercle.analysis.trip.TripEntry.Loaded;
import opercle.analysis.trip.TripLog;
import opercle.analysis.tripfile.EntryForm;
import opercle.analysis.tripfile.TripFile;
import opercle.ingest.reading.Reading;
import org.jspecify.annotations.Nullable;

/**
 * A farm's trips in the farm book. Each writing is one transaction: a process killed in the middle
 * leaves the book as it was before. Reads and writes the disk; for any thread.
 *
 * <p>Everything throws {@link BookException} where the book cannot be used, and writing {@link
 * RefusedEntryException} where an entry does not fit its trip; nothing is kept then.
 */
public final class TripRecords {

  private final FarmBook book;
  private final String farm;

  /** The trips of a farm, by its name. */
  public TripRecords(FarmBook book, String farm) {
    this.book = book;
    this.farm = farm;
  }

  /** Whether entries can be written here: the book was opened for writing. */
  public boolean takesEntries() {
    return book.isWritable();
  }

  /** What the trips did to the records of their tanks. */
  public TripTankRecords tanks() {
    return new TripTankRecords(book, farm);
  }

  /** Does what it is given in one transaction: all that it writes to this book, or nothing. */
  public <T> T atOnce(Supplier<T> work) {
    return book.write("write down what belongs to a trip", connection -> work.get());
  }

  /**
   * Begins a trip; does nothing where it has begun with the very same entry. A tank makes one trip
   * on the road at a time: another one is refused while one is under way that was begun within the
   * time that a trip may take. A night may be looked at any number of times.
   *
   * @return the trip as it then is
   */
  public TripLog begin(Loaded loaded) {
    return book.write(
        "begin a trip",
        connection -> {
          String trip = loaded.trip().id();
          List<TripEntry> there = entries(connection, trip);
          if (there.isEmpty() && loaded.trip().kind() == Trip.Kind.ROAD) {
            requireFree(connection, loaded);
          }
          TripLog log = there.isEmpty() ? TripLog.of(loaded) : TripLog.of(there).with(loaded);
          add(connection, trip, there, log);
          return log;
        });
  }

  private void requireFree(Connection connection, Loaded loaded) throws SQLException {
    String tank = loaded.trip().tank().id();
    for (String other : TripTable.notEnded(connection, farm, tank)) {
      TripLog log = TripLog.of(entries(connection, other));
      Trip there = log.trip();
      if (there.kind() == Trip.Kind.ROAD
          && !log.from().isBefore(loaded.time().minus(TripLog.LONGEST))) {
        throw new RefusedEntryException(
            clock ->
                "%s is on a trip already, since %s%s. End that one first, or withdraw it if it was begun by mistake."
                    .formatted(
                        there.tank().name(),
                        clock.apply(log.from()),
                        there.to().isEmpty() ? "" : ", to " + there.to()));
      }
    }
  }

  /**
   * Writes an entry down; does nothing where the trip has that very entry.
   *
   * @return the trip as it then is; empty where there is no such trip
   */
  public Optional<TripLog> add(String trip, TripEntry entry) {
    return book.write(
        "write down an entry of a trip",
        connection -> {
          List<TripEntry> there = entries(connection, trip);
          if (there.isEmpty()) {
            return Optional.empty();
          }
          TripLog log = TripLog.of(there).with(entry);
          log.requireLossesOfTheLoad();
          log.requireChecksOfTheTrip();
          log.requireLength();
          add(connection, trip, there, log);
          return Optional.of(log);
        });
  }

  /**
   * Takes a trip in from a file: its entries, readings, alarms, noted events and pictures. What is
   * there is left as it is, so that a file taken in twice changes nothing.
   *
   * @return how much was new
   */
  public Taken take(TripFile file) {
    return book.write(
        "take in a trip",
        connection -> {
          String trip = file.log().trip().id();
          List<TripEntry> there = entries(connection, trip);
          TripLog log = there.isEmpty() ? file.log() : TripLog.of(there);
          for (TripEntry entry : file.log().entries()) {
            log = log.with(entry);
          }
          int entries = add(connection, trip, there, log);
          int readings = TripTable.addReadings(connection, farm, trip, file.readings());
          int alarms = TripTable.addAlarms(connection, farm, trip, file.alarms());
          int events = TankEventRecords.add(connection, farm, file.events());
          int photos = PhotoRecords.add(connection, farm, file.photos());
          List<String> problems = entries > 0 ? log.lossesBeyondTheLoad() : List.of();
          return new Taken(entries, readings, alarms, events, photos, problems);
        });
  }

  /**
   * How much of a file was new.
   *
   * @param entries entries
   * @param readings readings
   * @param alarms alarm events
   * @param events noted events
   * @param photos pictures
   * @param problems what cannot be so in what was taken in, a sentence each; it is kept all the
   *     same
   */
  public record Taken(
      int entries, int readings, int alarms, int events, int photos, List<String> problems) {

    public Taken {
      problems = List.copyOf(problems);
    }

    /** Of what can be so. */
    public Taken(int entries, int readings, int alarms, int events, int photos) {
      this(entries, readings, alarms, events, photos, List.of());
    }

    /** The same with more that cannot be so. */
    public Taken with(List<String> more) {
      return new Taken(
          entries,
          readings,
          alarms,
          events,
          photos,
          Stream.concat(problems.stream(), more.stream()).toList());
    }
  }

  /** Lays the readings and alarms of a trip down with it, so that it can be reviewed for good. */
  public void keep(String trip, List<Reading> readings, List<AlarmEvent> alarms) {
    book.write(
        "keep the readings of a trip",
        connection ->
            TripTable.addReadings(connection, farm, trip, readings)
                + TripTable.addAlarms(connection, farm, trip, alarms));
  }

  /** The readings that lie with a trip, in order of time. */
  public List<Reading> readings(TripLog log) {
    return book.read(
        "read the readings of a trip",
        connection -> TripTable.readings(connection, farm, log.trip()));
  }

  /** The alarms that lie with a trip, in order of time. */
  public List<AlarmEvent> alarms(TripLog log) {
    return book.read(
        "read the alarms of a trip", connection -> TripTable.alarms(connection, farm, log.trip()));
  }

  /** One trip. */
  public Optional<TripLog> trip(String id) {
    List<TripEntry> entries = book.read("read a trip", connection -> entries(connection, id));
    return entries.isEmpty() ? Optional.empty() : Optional.of(TripLog.of(entries));
  }

  /**
   * The trips that were loaded last, newest first, by the loading that holds: one that was
   * corrected counts by its correction.
   *
   * @param before only those loaded before it
   * @param most at most so many
   */
  public List<TripLog> newest(Instant before, int most) {
    return newest(before, null, most);
  }

  /**
   * Those that come next after one in the order of {@link #newest}; of several that were loaded at
   * the same instant none is passed over.
   *
   * @param most at most so many
   */
  public List<TripLog> earlierThan(TripLog trip, int most) {
    return newest(trip.from(), trip.trip().id(), most);
  }

  /**
   * @param after of those loaded at the instant itself only the ones after this id; null: none
   */
  private List<TripLog> newest(Instant before, @Nullable String after, int most) {
    return book.read(
        "read trips",
        connection -> {
          Map<String, List<TripEntry>> byTrip = new LinkedHashMap<>();
          try (PreparedStatement select =
              connection.prepareStatement(
                  """
                  SELECT e.trip, e.content FROM trip_entry e
                  JOIN (SELECT l.trip, l.time AS loaded FROM trip_entry l
                        WHERE l.farm = ? AND l.kind = 'loaded'
                          AND l.time <= ? AND (l.time < ? OR l.trip > ?)
                          AND NOT EXISTS (SELECT 1 FROM trip_entry c
                                          WHERE c.farm = l.farm AND c.trip = l.trip
                                            AND c.kind = 'loaded' AND c.number > l.number)
                        ORDER BY l.time DESC, l.trip LIMIT ?) t ON t.trip = e.trip
                  WHERE e.farm = ? ORDER BY t.loaded DESC, e.trip, e.number""")) {
            select.setString(1, farm);
            select.setLong(2, BookTime.micros(before));
            select.setLong(3, BookTime.micros(before));
            select.setString(4, after);
            select.setInt(5, most);
            select.setString(6, farm);
            try (ResultSet row = select.executeQuery()) {
              while (row.next()) {
                byTrip
                    .computeIfAbsent(row.getString(1), t -> new ArrayList<>())
                    .add(EntryForm.parse(row.getString(2)));
              }
            }
          }
          return byTrip.values().stream().map(TripLog::of).toList();
        });
  }

  /**
   * The trips of a tank of which something was written for a time of a span, in any order; what was
   * corrected since counts too.
   *
   * @param from first instant
   * @param to first instant after the span
   */
  public List<TripLog> ofTank(String tank, Instant from, Instant to) {
    return book.read(
        "read the trips of a tank",
        connection -> {
          List<TripLog> logs = new ArrayList<>();
          for (String trip : TripTable.ofTank(connection, farm, tank, from, to)) {
            logs.add(TripLog.of(entries(connection, trip)));
          }
          return logs;
        });
  }

  /**
   * What past trips taught, oldest first. What was measured in one tank at one time counts once,
   * however often somebody looked at it.
   */
  public List<PastDemand> demands() {
    return book.read(
        "read what trips taught",
        connection ->
            TripSpan.once(TripTable.demands(connection, farm), TripTable.spans(connection, farm)));
  }

  /** Keeps what the review of a finished trip teaches, in the place of what it taught before. */
  public void learn(PastDemand demand) {
    book.write(
        "keep what a trip taught",
        connection -> {
          TripTable.learn(connection, farm, demand);
          return demand;
        });
  }

  /** Takes back what a trip taught: as it is written now it teaches nothing. */
  public void unlearn(String trip) {
    book.write(
        "take back what a trip taught",
        connection -> {
          TripTable.unlearn(connection, farm, trip);
          return trip;
        });
  }

  private List<TripEntry> entries(Connection connection, String trip) throws SQLException {
    try (PreparedStatement select =
        connection.prepareStatement(
            "SELECT content FROM trip_entry WHERE farm = ? AND trip = ? ORDER BY number")) {
      select.setString(1, farm);
      select.setString(2, trip);
      try (ResultSet row = select.executeQuery()) {
        List<TripEntry> entries = new ArrayList<>();
        while (row.next()) {
          entries.add(EntryForm.parse(row.getString(1)));
        }
        return entries;
      }
    }
  }

  private int add(Connection connection, String trip, List<TripEntry> there, TripLog log)
      throws SQLException {
    Map<String, TripEntry> known = new HashMap<>();
    there.forEach(e -> known.put(e.id(), e));
    List<TripEntry> more = log.entries().stream().filter(e -> !known.containsKey(e.id())).toList();
    TripTable.addEntries(connection, farm, trip, log.trip().tank().id(), more);
    return more.size();
  }
}
