// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.monitor;

import java.time.Duration;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * Notices parts that make no progress. Each has a count that moves as long as it lives; one that
 * stays the same for too long is stuck. Times are those of a clock that never steps.
 *
 * <p>Pure. Not thread-safe.
 */
public final class Progress {

  /** From here on a part counts as stuck. */
  public static final Duration STUCK_AFTER = Duration.ofSeconds(20);

  /** From here on it will not come round by itself: the process must be started anew. */
  public static final Duration HOPELESS_AFTER = Duration.ofSeconds(60);

  private record Moved(long count, long at) {}

  private final Map<String, Moved> parts = new HashMap<>();

  /**
   * Takes one look.
   *
   * @param counts by part; a part that has nothing to do just now is left out
   * @return for how long each stuck part has not moved
   */
  public Map<String, Duration> stuck(long steadyNanos, Map<String, Long> counts) {
    parts.keySet().retainAll(counts.keySet());
    Map<String, Duration> stuck = new LinkedHashMap<>();
    counts.forEach(
        (part, count) -> {
          @Nullable Moved before = parts.get(part);
          if (before == null || before.count() != count) {
            parts.put(part, new Moved(count, steadyNanos));
          } else {
            Duration still = Duration.ofNanos(steadyNanos - before.at());
            if (still.compareTo(STUCK_AFTER) >= 0) {
              stuck.put(part, still);
            }
          }
        });
    return stuck;
  }
}
