// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.time.Instant;

/**
 * A span cut into equal parts; where it does not divide into whole milliseconds, parts differ by
 * one.
 *
 * @param startMs the first millisecond
 * @param spanMs how long, ms; at least 1
 * @param count how many parts; at least 1
 */
record Parts(long startMs, long spanMs, int count) {

  /**
   * @throws IllegalArgumentException unless {@code from} is before {@code to} and {@code count} is
   *     at least 1
   */
  static Parts of(Instant from, Instant to, int count) {
    long start = ceilMillis(from);
    long span = ceilMillis(to) - start;
    if (span <= 0 || count < 1) {
      throw new IllegalArgumentException(
          "buckets: from must be before to and count at least 1, but were %s, %s and %d"
              .formatted(from, to, count));
    }
    return new Parts(start, span, count);
  }

  /** Stored times are whole milliseconds; the first at or after a limit decides. */
  static long ceilMillis(Instant limit) {
    long millis = limit.toEpochMilli();
    return limit.isAfter(Instant.ofEpochMilli(millis)) ? millis + 1 : millis;
  }

  /** The first millisecond after the span. */
  long endMs() {
    return startMs + spanMs;
  }

  /** Whether every part begins and ends with a minute. */
  boolean isWholeMinutes() {
    return startMs % SqliteRollUps.MINUTE_MS == 0
        && spanMs % (count * SqliteRollUps.MINUTE_MS) == 0;
  }

  /** Whether all parts are as long as each other, in whole milliseconds. */
  boolean isEven() {
    return spanMs % count == 0;
  }

  /** The number of the part that a time is in, from 0. */
  long partOf(long timeMs) {
    return Math.floorDiv((timeMs - startMs) * count, spanMs);
  }

  Instant startOf(long part) {
    return Instant.ofEpochMilli(startMs + ceilDiv(part * spanMs, count));
  }

  /** What is known of a part. */
  Bucket bucket(long part, double min, double max, double mean, long readings) {
    return new Bucket(startOf(part), startOf(part + 1), min, max, mean, readings);
  }

  private static long ceilDiv(long dividend, long divisor) {
    return -Math.floorDiv(-dividend, divisor);
  }
}
