// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.time.Instant;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.Stream;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;

/**
 * Reads the latest out of a spool, and what is older out of InfluxDB, together with what waits to
 * be sent there.
 */
final class SpoolFirst implements ReadingStore {

  private final SqliteReadings spool;
  private final InfluxReadings influx;
  private final boolean isShared;

  /**
   * @param isShared whether others write to InfluxDB too, so that no spool has all of the latest
   */
  SpoolFirst(SqliteReadings spool, InfluxReadings influx, boolean isShared) {
    this.spool = spool;
    this.influx = influx;
    this.isShared = isShared;
  }

  @Override
  public void accept(List<Reading> batch) {
    throw new UnsupportedOperationException("this is for reading only");
  }

  @Override
  public List<Reading> range(Series series, Instant from, Instant to) {
    Instant keptFrom = keptFrom(series);
    List<Reading> here = spool.range(series, from, to);
    if (!from.isBefore(keptFrom)) {
      return here;
    }
    Map<Instant, Reading> all = new TreeMap<>();
    influx
        .range(series, from, to.isBefore(keptFrom) ? to : keptFrom)
        .forEach(r -> all.put(r.time(), r));
    here.forEach(r -> all.put(r.time(), r));
    return List.copyOf(all.values());
  }

  @Override
  public List<Bucket> buckets(Series series, Instant from, Instant to, int count) {
    List<Bucket> here = spool.buckets(series, from, to, count);
    if (!from.isBefore(keptFrom(series))) {
      return here;
    }
    Map<Instant, Bucket> all = new TreeMap<>();
    influx.buckets(series, from, to, count).forEach(b -> all.put(b.start(), b));
    here.forEach(b -> all.merge(b.start(), b, SpoolFirst::together));
    return List.copyOf(all.values());
  }

  /**
   * Of one part, InfluxDB may lack the latest and the spool the oldest: who knows more of it has
   * its mean, and nobody hides the other's dip.
   */
  static Bucket together(Bucket a, Bucket b) {
    Bucket known = a.count() > b.count() ? a : b;
    return new Bucket(
        known.start(),
        known.end(),
        Math.min(a.min(), b.min()),
        Math.max(a.max(), b.max()),
        known.mean(),
        known.count());
  }

  private Instant keptFrom(Series series) {
    return isShared ? Instant.MAX : spool.keptFrom(series).orElse(Instant.MAX);
  }

  @Override
  public Optional<Reading> newest(Series series) {
    Optional<Reading> here = spool.newest(series);
    if (!isShared) {
      return here.or(() -> influx.newest(series));
    }
    return Stream.concat(here.stream(), influx.newest(series).stream())
        .max(Comparator.comparing(Reading::time));
  }

  /** Those of the spool, and those of InfluxDB where it answers. */
  @Override
  public List<Series> series() {
    try {
      return together(spool.series(), Set.copyOf(influx.series()));
    } catch (StoreException e) {
      return spool.series();
    }
  }

  /** All of them once, in the order in which a store lists them. */
  static List<Series> together(List<Series> some, Set<Series> others) {
    return Stream.concat(some.stream(), others.stream())
        .distinct()
        .sorted(
            Comparator.comparing(Series::tank)
                .thenComparing(s -> s.quantity().id())
                .thenComparing(Series::probe))
        .toList();
  }

  @Override
  public void close() {
    spool.close();
    influx.close();
  }
}
