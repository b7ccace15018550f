// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.ReadingSink;
import opercle.ingest.reading.Series;

/**
 * Keeps readings. Values are in the quantity's canonical unit; times are kept to the millisecond,
 * cut off, and given back so.
 *
 * <p>A series has one value at one time. The first one stays: what the watch has acted upon is
 * never rewritten, and a message delivered twice changes nothing.
 *
 * <p>{@link #accept} is called from one thread at a time; reading is safe from many threads and
 * does not wait for the writer.
 */
public interface ReadingStore extends ReadingSink, AutoCloseable {

  /**
   * Keeps a batch: durable as a whole when this returns, and not there at all if it throws.
   *
   * @throws StoreException if the batch could not be kept; offering it again is safe
   */
  @Override
  void accept(List<Reading> batch);

  /**
   * The readings of a series from {@code from} (included) to {@code to} (not included), oldest
   * first.
   */
  List<Reading> range(Series series, Instant from, Instant to);

  /**
   * The span from {@code from} (included) to {@code to} (not included) cut into {@code count} equal
   * parts, with the lowest, highest and mean value of each; parts without readings are left out.
   * Spans that do not divide into whole milliseconds have parts that differ by one. Parts that
   * begin and end with whole minutes are quick for long spans too; others read every reading. Where
   * only the minutes are kept any longer, a minute counts in the part in which it begins, and a
   * reading that comes once more after its first was deleted counts in its minute again.
   *
   * @throws IllegalArgumentException unless {@code from} is before {@code to} and {@code count} is
   *     at least 1
   */
  List<Bucket> buckets(Series series, Instant from, Instant to, int count);

  /** The reading with the latest time, or empty if there is none. */
  Optional<Reading> newest(Series series);

  /** Every series that has ever had a reading, by tank, quantity and probe. */
  List<Series> series();

  /** Closes the store; what was accepted stays. Calling it again does nothing. */
  @Override
  void close();
}
