// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.util.List;
import java.util.Map;
import opercle.ingest.reading.Rejection;

/**
 * What was sent but not taken. Immutable.
 *
 * @param counts how many, by reason; a reason that never occurred may be missing
 * @param latest the most recent ones, newest first; a bounded number
 */
public record NotTaken(Map<Rejection.Reason, Long> counts, List<Rejection> latest) {

  /** Everything was taken. */
  public static final NotTaken NOTHING = new NotTaken(Map.of(), List.of());

  public NotTaken {
    counts = Map.copyOf(counts);
    latest = List.copyOf(latest);
  }

  /** How many in all. */
  public long total() {
    return counts.values().stream().mapToLong(Long::longValue).sum();
  }
}
