// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;

/**
 * What another database lacks of one minute of one series.
 *
 * @param id the series' in the spool
 * @param minute minutes since 1970
 * @param readings those that are to be sent, or are sent again; oldest first
 * @param summary the minute, as far as the spool saw it; empty if it knows nothing of it any more
 * @param isWhole whether the summary counts all that the other database has of it from this spool
 * @param isPart whether it is sent as this spool's part of the minute
 */
record Unsent(
    long id,
    Series series,
    long minute,
    List<Reading> readings,
    Optional<Bucket> summary,
    boolean isWhole,
    boolean isPart) {

  Instant start() {
    return Instant.ofEpochMilli(minute * SqliteRollUps.MINUTE_MS);
  }
}
