// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.payload;

import java.util.ArrayDeque;
import java.util.Deque;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import opercle.ingest.reading.Rejection;

/**
 * Counts what was not taken, by reason, and keeps the latest few for a person to look at.
 *
 * <p>Safe for many threads.
 */
public final class Rejections {

  /** How many of the latest rejections are kept. */
  public static final int KEPT = 20;

  private final Map<Rejection.Reason, Long> counts = new EnumMap<>(Rejection.Reason.class);
  private final Deque<Rejection> latest = new ArrayDeque<>(KEPT);

  /** Counts a rejection and keeps it until {@value #KEPT} newer ones have come. */
  public synchronized void add(Rejection rejection) {
    counts.merge(rejection.reason(), 1L, Long::sum);
    if (latest.size() == KEPT) {
      latest.removeLast();
    }
    latest.addFirst(rejection);
  }

  /** How many there have been of each reason; reasons that never came up are absent. */
  public synchronized Map<Rejection.Reason, Long> counts() {
    return new EnumMap<>(counts);
  }

  /** How many there have been in all. */
  public synchronized long total() {
    return counts.values().stream().mapToLong(Long::longValue).sum();
  }

  /** The latest ones, newest first, {@value #KEPT} at most. */
  public synchronized List<Rejection> latest() {
    return List.copyOf(latest);
  }
}
