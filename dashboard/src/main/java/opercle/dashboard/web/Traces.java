// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.time.Instant;
import java.util.List;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;

/**
 * Past readings: thinned for drawing, and as they are. Called from several threads at once; may
 * read from a disk.
 */
public interface Traces {

  /** The series of one tank that have readings, in any order. */
  List<Series> series(String tank);

  /**
   * The readings of a span, gathered into at most {@code count} equal parts of it. Parts without a
   * reading are left out, so that a gap stays a gap.
   *
   * @param from first instant
   * @param to first instant after the span; later than {@code from}
   * @param count how many parts, at least 1
   * @return in time order
   */
  List<Bucket> buckets(Series series, Instant from, Instant to, int count);

  /**
   * Every reading of a span, as it was kept.
   *
   * @param from first instant
   * @param to first instant after the span
   * @return in time order
   */
  List<Reading> readings(Series series, Instant from, Instant to);

  /**
   * The readings of one part of a span, in the quantity's canonical unit.
   *
   * @param start when the part begins
   * @param min smallest reading
   * @param mean their mean
   * @param max largest reading
   * @param count how many there are
   */
  record Bucket(Instant start, double min, double mean, double max, long count) {}
}
