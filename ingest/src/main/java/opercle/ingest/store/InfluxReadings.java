// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import com.fasterxml.jackson.databind.JsonNode;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.NavigableMap;
import java.util.Optional;
import java.util.TreeMap;
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

  private final InfluxSettings settings;
  private final InfluxQuery query;

  InfluxReadings(InfluxSettings settings) {
    this.settings = settings;
    this.query = new InfluxQuery(settings);
  }

  @Override
  public void accept(List<Reading> batch) {
    throw new UnsupportedOperationException("%s was opened for reading only".formatted(settings));
  }

  @Override
  public List<Reading> range(Series series, Instant from, Instant to) {
    JsonNode found =
        query.ask(
            settings.readings(),
            "SELECT \"value\""
                + InfluxLayout.of(InfluxLayout.READINGS, series, from, to)
                + " ORDER BY time");
    return readings(series, found);
  }

  private static List<Reading> readings(Series series, JsonNode found) {
    List<Reading> readings = new ArrayList<>();
    for (JsonNode row : found.path(0).path("values")) {
      readings.add(
          new Reading(
              series.tank(), series.quantity(), series.probe(), time(row), row.get(1).asDouble()));
    }
    return readings;
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
  Optional<Bucket> minuteFromReadings(Series series, Instant minute) {
    Parts one = new Parts(minute.toEpochMilli(), SqliteRollUps.MINUTE_MS, 1);
    return even(series, one).stream().findFirst();
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
    for (JsonNode row : query.ask(place, sql).path(0).path("values")) {
      long readings = row.get(4).asLong();
      if (readings > 0) {
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

  private List<Bucket> withLoneMinutes(Series series, Parts parts, List<Bucket> fromReadings) {
    if (fromReadings.size() == parts.count()) {
      return fromReadings;
    }
    long first = SqliteTrim.minute(parts.startMs()) * SqliteRollUps.MINUTE_MS;
    JsonNode minutes =
        query.ask(
            settings.minutes(),
            "SELECT \"min\", \"max\", \"sum\", \"count\""
                + InfluxLayout.of(
                    InfluxLayout.MINUTES,
                    series,
                    Instant.ofEpochMilli(first),
                    Instant.ofEpochMilli(parts.endMs())));
    NavigableMap<Long, Bucket> all = new TreeMap<>();
    fromReadings.forEach(b -> all.put(parts.partOf(b.start().toEpochMilli()), b));
    NavigableMap<Long, Sum> lone = new TreeMap<>();
    for (JsonNode row : minutes.path(0).path("values")) {
      long start = Math.max(row.get(0).asLong(), parts.startMs());
      long end = Math.min(row.get(0).asLong() + SqliteRollUps.MINUTE_MS, parts.endMs());
      long part = parts.partOf(start);
      if (all.subMap(part, true, parts.partOf(end - 1), true).isEmpty()) {
        Sum sum =
            new Sum(
                row.get(1).asDouble(),
                row.get(2).asDouble(),
                row.get(3).asDouble(),
                row.get(4).asLong());
        lone.merge(part, sum, Sum::plus);
      }
    }
    lone.forEach((part, sum) -> all.put(part, sum.bucket(parts, part)));
    return List.copyOf(all.values());
  }

  @Override
  public Optional<Reading> newest(Series series) {
    JsonNode found =
        query.ask(
            settings.readings(),
            "SELECT \"value\""
                + InfluxLayout.of(InfluxLayout.READINGS, series)
                + " ORDER BY time DESC LIMIT 1");
    return readings(series, found).stream().findFirst();
  }

  /** Asks the minutes, which are a sixtieth of the readings and stay for longer. */
  @Override
  public List<Series> series() {
    JsonNode found =
        query.ask(
            settings.minutes(),
            "SELECT last(\"count\") FROM \"%s\" GROUP BY \"tank\", \"quantity\", \"probe\""
                .formatted(InfluxLayout.MINUTES));
    List<Series> series = new ArrayList<>();
    for (JsonNode one : found) {
      JsonNode tags = one.path("tags");
      Quantity.of(tags.path("quantity").asText())
          .ifPresent(
              q ->
                  series.add(
                      new Series(tags.path("tank").asText(), q, tags.path("probe").asText())));
    }
    series.sort(
        Comparator.comparing(Series::tank)
            .thenComparing(s -> s.quantity().id())
            .thenComparing(Series::probe));
    return series;
  }

  @Override
  public void close() {
    // The JDK's client has nothing to close.
  }
}
