// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.time.Instant;
import java.util.List;
import opercle.dashboard.web.Traces;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import opercle.ingest.store.ReadingStore;

/** The readings store as the pages want it. */
final class StoredTraces implements Traces {

  private final ReadingStore store;

  StoredTraces(ReadingStore store) {
    this.store = store;
  }

  @Override
  public List<Series> series(String tank) {
    return store.series().stream().filter(s -> s.tank().equals(tank)).toList();
  }

  @Override
  public List<Bucket> buckets(Series series, Instant from, Instant to, int count) {
    return store.buckets(series, from, to, count).stream()
        .map(b -> new Bucket(b.start(), b.min(), b.mean(), b.max(), b.count()))
        .toList();
  }

  @Override
  public List<Reading> readings(Series series, Instant from, Instant to) {
    return store.range(series, from, to);
  }
}
