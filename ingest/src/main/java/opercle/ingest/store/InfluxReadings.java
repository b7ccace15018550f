// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import com.fasterxml.jackson.databind.JsonNode;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.NavigableMap;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.Stream;
import java.util.stream.StreamSupport;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;

/**
 * Readings in an InfluxDB, to read only: they get there through {@link SpooledReadings}. Queries
 * are InfluxQL as 1.x, 2.x and 3 have it. A question that is not answered is a {@link
 * StoreException} that says so.
 */
final class InfluxReadings implements ReadingStore {

  private static final String SUMMARY =
      "SELECT min(\"min\"), max(\"max\"), sum(\"sum\"), sum(\"count\")";

  /** As many as 1.x gives at once unless it is told otherwise. */
  private static final int ROWS_AT_ONCE = 10_000;

  private static final long LISTED_NANOS = Duration.ofSeconds(10).toNanos();

  private final InfluxSettings settings;
  private final InfluxQuery query;
  private volatile Listed listed = new Listed(Optional.empty(), List.of());

  InfluxReadings(InfluxSettings settings) {
    this(settings, new InfluxQuery(settings));
  }

  private InfluxReadings(InfluxSettings settings, InfluxQuery query) {
    this.settings = settings;
    this.query = query;
  }

  /** For the one who sends: each question is put, however it went with the last one. */
  static InfluxReadings forSending(InfluxSettings settings) {
    return new InfluxReadings(settings, InfluxQuery.thatAlwaysAsks(settings));
  }

  @Override
  public void accept(List<Reading> batch) {
    throw new UnsupportedOperationException("%s was opened for reading only".formatted(settings));
  }

  @Override
  public List<Reading> range(Series series, Instant from, Instant to) {
    return rows(series, settings.readings(), "SELECT \"value\"", InfluxLayout.READINGS, from, to)
        .stream()
        .map(row -> reading(series, row))
        .toList();
  }

  /** All rows, however few the server gives at once. */
  private List<JsonNode> rows(
      Series series,
      InfluxSettings.Place place,
      String select,
      String measurement,
      Instant from,
      Instant to) {
    List<JsonNode> all = new ArrayList<>();
    Instant next = from;
    while (true) {
      JsonNode found =
          query.ask(
              place,
              select
                  + InfluxLayout.of(measurement, series, next, to)
                  + " ORDER BY time LIMIT "
                  + ROWS_AT_ONCE);
      JsonNode values = found.path(0).path("values");
      values.forEach(all::add);
      boolean isCut = values.size() >= ROWS_AT_ONCE || found.path(0).path("partial").asBoolean();
      if (values.isEmpty() || !isCut) {
        return all;
      }
      next = time(values.get(values.size() - 1));
      // Several may have written a point of that time, and not all of them need be in it.
      Instant cut = next;
      if (!all.removeIf(row -> time(row).equals(cut)) || all.isEmpty()) {
        throw new StoreException("InfluxDB gives fewer rows at once than there are of one time");
      }
    }
  }

  private static Reading reading(Series series, JsonNode row) {
    return new Reading(
        series.tank(), series.quantity(), series.probe(), time(row), row.get(1).asDouble());
  }

  private static Stream<JsonNode> rows(JsonNode found) {
    return StreamSupport.stream(found.path(0).path("values").spliterator(), false);
  }

  private static Instant time(JsonNode row) {
    return Instant.ofEpochMilli(row.get(0).asLong());
  }

  /**
   * From the minutes where the parts are whole minutes. Else from the readings, and where those are
   * gone but their minute is not, from the minute.
   */
  @Override
  public List<Bucket> buckets(Series series, Instant from, Instant to, int count) {
    Parts parts = Parts.of(from, to, count);
    if (parts.isWholeMinutes()) {
      return grouped(SUMMARY, settings.minutes(), InfluxLayout.MINUTES, series, parts);
    }
    List<Bucket> fromReadings = parts.isEven() ? even(series, parts) : gathered(series, parts);
    return withLoneMinutes(series, parts, fromReadings);
  }

  private List<Bucket> even(Series series, Parts parts) {
    return grouped(
        "SELECT min(\"value\"), max(\"value\"), sum(\"value\"), count(\"value\")",
        settings.readings(),
        InfluxLayout.READINGS,
        series,
        parts);
  }

  /** Each minute of a span by itself, as its readings make it. */
  private Optional<Bucket> minuteFromReadings(Series series, Instant minute) {
    return even(series, minuteOf(minute)).stream().findFirst();
  }

  private static Parts minuteOf(Instant start) {
    return new Parts(start.toEpochMilli(), SqliteRollUps.MINUTE_MS, 1);
  }

  /**
   * What of a minute was written before by one writer. Of one that shares with others it is what it
   * said itself, as what they do meanwhile must not count; of one that is alone all that no other
   * has said, as a spool that was lost may have sent readings and not yet their minute.
   *
   * @param part which of several writers; empty: it is alone
   */
  Optional<Bucket> writtenBefore(Series series, Instant minute, Optional<String> part) {
    Map<String, Sum> parts = parts(series, minute);
    Optional<Bucket> said =
        Optional.ofNullable(parts.remove(part.orElse("")))
            .map(sum -> sum.bucket(minuteOf(minute), 0));
    if (part.isPresent()) {
      return said;
    }
    Optional<Bucket> unsaid =
        minuteFromReadings(series, minute).flatMap(all -> less(all, parts.values()));
    return said.map(s -> unsaid.map(u -> SpoolFirst.together(s, u)).orElse(s)).or(() -> unsaid);
  }

  private static Optional<Bucket> less(Bucket all, Collection<Sum> others) {
    long count = all.count() - others.stream().mapToLong(Sum::count).sum();
    if (count <= 0) {
      return Optional.empty();
    }
    double total = all.mean() * all.count() - others.stream().mapToDouble(Sum::total).sum();
    // Lowest and highest are of all: the minute's own are the same either way.
    return Optional.of(
        new Bucket(all.start(), all.end(), all.min(), all.max(), total / count, count));
  }

  /** A minute's parts by who wrote them; "" is one who was alone. */
  private Map<String, Sum> parts(Series series, Instant minute) {
    JsonNode found =
        query.ask(
            settings.minutes(),
            "SELECT \"min\", \"max\", \"sum\", \"count\""
                + InfluxLayout.of(InfluxLayout.MINUTES, series, minute, minute.plusMillis(1))
                + " GROUP BY \""
                + InfluxLayout.PART
                + "\"");
    Map<String, Sum> parts = new HashMap<>();
    for (JsonNode one : found) {
      String part = one.path("tags").path(InfluxLayout.PART).asText("");
      for (JsonNode row : one.path("values")) {
        if (isWhole(row)) {
          parts.put(part, Sum.of(row));
        }
      }
    }
    return parts;
  }

  private List<Bucket> grouped(
      String select, InfluxSettings.Place place, String measurement, Series series, Parts parts) {
    long length = parts.spanMs() / parts.count();
    String sql =
        select
            + InfluxLayout.of(
                measurement,
                series,
                Instant.ofEpochMilli(parts.startMs()),
                Instant.ofEpochMilli(parts.endMs()))
            + " GROUP BY time("
            + length
            + "ms, "
            + Math.floorMod(parts.startMs(), length)
            + "ms) fill(none)";
    List<Bucket> buckets = new ArrayList<>();
    for (JsonNode row : (Iterable<JsonNode>) rows(query.ask(place, sql))::iterator) {
      long readings = row.get(4).asLong();
      if (readings > 0 && isWhole(row)) {
        buckets.add(
            parts.bucket(
                parts.partOf(time(row).toEpochMilli()),
                row.get(1).asDouble(),
                row.get(2).asDouble(),
                row.get(3).asDouble() / readings,
                readings));
      }
    }
    return buckets;
  }

  /**
   * Whether every column has a figure. While a point is being written InfluxDB 1.x may count it and
   * not yet know its value; a lowest of nothing must not be shown as 0 mg/L.
   */
  static boolean isWhole(JsonNode row) {
    for (JsonNode figure : row) {
      if (figure.isNull()) {
        return false;
      }
    }
    return true;
  }

  /** Parts that differ in length, which no query groups by. */
  private List<Bucket> gathered(Series series, Parts parts) {
    NavigableMap<Long, Sum> sums = new TreeMap<>();
    for (Reading r :
        range(series, Instant.ofEpochMilli(parts.startMs()), Instant.ofEpochMilli(parts.endMs()))) {
      sums.merge(
          parts.partOf(r.time().toEpochMilli()),
          new Sum(r.value(), r.value(), r.value(), 1),
          Sum::plus);
    }
    return sums.entrySet().stream().map(e -> e.getValue().bucket(parts, e.getKey())).toList();
  }

  private record Sum(double min, double max, double total, long count) {

    static Sum of(Bucket b) {
      return new Sum(b.min(), b.max(), b.mean() * b.count(), b.count());
    }

    /** A minute's row: time, min, max, sum, count. */
    static Sum of(JsonNode row) {
      return new Sum(
          row.get(1).asDouble(), row.get(2).asDouble(), row.get(3).asDouble(), row.get(4).asLong());
    }

    Sum plus(Sum other) {
      return new Sum(
          Math.min(min, other.min),
          Math.max(max, other.max),
          total + other.total,
          count + other.count);
    }

    Bucket bucket(Parts parts, long part) {
      return parts.bucket(part, min, max, total / count, count);
    }
  }

  /**
   * Adds what is left of minutes whose readings are gone: those before the first reading, and those
   * in a gap.
   */
  private List<Bucket> withLoneMinutes(Series series, Parts parts, List<Bucket> fromReadings) {
    Instant start = Instant.ofEpochMilli(parts.startMs());
    Instant end = Instant.ofEpochMilli(parts.endMs());
    long minuteMs = SqliteRollUps.MINUTE_MS;
    long firstMs =
        firstReading(series, start, end).map(Instant::toEpochMilli).orElse(end.toEpochMilli());
    if (fromReadings.size() == parts.count() && firstMs - parts.startMs() < minuteMs) {
      return fromReadings;
    }
    NavigableMap<Long, Sum> sums = new TreeMap<>();
    fromReadings.forEach(b -> sums.put(parts.partOf(b.start().toEpochMilli()), Sum.of(b)));
    NavigableMap<Long, Sum> lone = new TreeMap<>();
    for (JsonNode row :
        rows(
            series,
            settings.minutes(),
            "SELECT \"min\", \"max\", \"sum\", \"count\"",
            InfluxLayout.MINUTES,
            Instant.ofEpochMilli(SqliteTrim.minute(parts.startMs()) * minuteMs),
            end)) {
      if (!isWhole(row)) {
        continue;
      }
      long from = Math.max(time(row).toEpochMilli(), parts.startMs());
      long to = Math.min(time(row).toEpochMilli() + minuteMs, parts.endMs());
      if (to <= firstMs
          || sums.subMap(parts.partOf(from), true, parts.partOf(to - 1), true).isEmpty()) {
        lone.merge(parts.partOf(from), Sum.of(row), Sum::plus);
      }
    }
    lone.forEach((part, sum) -> sums.merge(part, sum, Sum::plus));
    return sums.entrySet().stream().map(e -> e.getValue().bucket(parts, e.getKey())).toList();
  }

  private Optional<Instant> firstReading(Series series, Instant from, Instant to) {
    JsonNode found =
        query.ask(
            settings.readings(),
            "SELECT \"value\""
                + InfluxLayout.of(InfluxLayout.READINGS, series, from, to)
                + " ORDER BY time LIMIT 1");
    return rows(found).map(InfluxReadings::time).findFirst();
  }

  @Override
  public Optional<Reading> newest(Series series) {
    JsonNode found =
        query.ask(
            settings.readings(),
            "SELECT \"value\""
                + InfluxLayout.of(InfluxLayout.READINGS, series)
                + " ORDER BY time DESC LIMIT 1");
    return rows(found).map(row -> reading(series, row)).findFirst();
  }

  /**
   * Asks the minutes, which are a sixtieth of the readings and stay for longer; not again for some
   * seconds, as a page asks once a trace. A server that will not look through all of them, as 3
   * Core unless told to, is asked for the latest days.
   */
  @Override
  public List<Series> series() {
    Listed known = listed;
    if (known.isFresh()) {
      return known.series();
    }
    List<Series> series;
    try {
      series = seriesSince("");
    } catch (StoreException e) {
      series = seriesSince(" WHERE time >= now() - 72h");
    }
    listed = new Listed(Optional.of(System.nanoTime()), series);
    return series;
  }

  private record Listed(Optional<Long> atNanos, List<Series> series) {
    boolean isFresh() {
      return atNanos.isPresent() && System.nanoTime() - atNanos.get() < LISTED_NANOS;
    }
  }

  private List<Series> seriesSince(String where) {
    JsonNode found =
        query.ask(
            settings.minutes(),
            "SELECT last(\"count\") FROM \"%s\"%s GROUP BY \"tank\", \"quantity\", \"probe\""
                .formatted(InfluxLayout.MINUTES, where));
    List<Series> series = new ArrayList<>();
    for (JsonNode one : found) {
      JsonNode tags = one.path("tags");
      Quantity.of(tags.path("quantity").asText())
          .ifPresent(
              q ->
                  series.add(
                      new Series(tags.path("tank").asText(), q, tags.path("probe").asText())));
    }
    return SpoolFirst.together(series, Set.of());
  }

  @Override
  public void close() {
    // The JDK's client has nothing to close.
  }
}
