// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;

/** A store to read from, of which it is only found out at each question where it is. */
abstract class LaterStore implements ReadingStore {

  /** Where to ask now. */
  abstract ReadingStore store();

  @Override
  public void accept(List<Reading> batch) {
    throw new UnsupportedOperationException("this is for reading only");
  }

  @Override
  public List<Reading> range(Series series, Instant from, Instant to) {
    return store().range(series, from, to);
  }

  @Override
  public List<Bucket> buckets(Series series, Instant from, Instant to, int count) {
    return store().buckets(series, from, to, count);
  }

  @Override
  public Optional<Reading> newest(Series series) {
    return store().newest(series);
  }

  @Override
  public List<Series> series() {
    return store().series();
  }
}
