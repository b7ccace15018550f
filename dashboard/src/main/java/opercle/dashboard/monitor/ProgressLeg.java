// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.monitor;

import java.time.Duration;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.OptionalLong;
import java.util.function.Consumer;
import java.util.function.Supplier;
import opercle.analysis.monitor.Progress;
import opercle.analysis.monitor.TroubleKey;
import opercle.analysis.monitor.TroubleKind;

/**
 * The local watchdog: whether every part of the monitor still comes round. One that has stood still
 * for a minute will not come round by itself; then the process ends at once, without asking the
 * stuck part, and whoever supervises it starts it anew. Nothing is lost by that: alarms are on the
 * disk before they are told, and the broker keeps the readings that were not acknowledged.
 *
 * <p>For one thread.
 */
public final class ProgressLeg implements Leg {

  private final Progress progress = new Progress();
  private final Map<String, Supplier<OptionalLong>> counts;
  private final Consumer<String> end;

  /**
   * Watches parts.
   *
   * @param counts by the name of each part: a count that moves while the part lives; empty while it
   *     has nothing to do
   * @param end ends the process; told why
   */
  public ProgressLeg(Map<String, Supplier<OptionalLong>> counts, Consumer<String> end) {
    this.counts = new LinkedHashMap<>(counts);
    this.end = end;
  }

  @Override
  public String what() {
    return "whether every part still comes round";
  }

  @Override
  public Map<TroubleKey, String> look(long steadyNanos) {
    Map<String, Long> now = new LinkedHashMap<>();
    counts.forEach((part, count) -> count.get().ifPresent(c -> now.put(part, c)));
    Map<TroubleKey, String> found = new LinkedHashMap<>();
    progress
        .stuck(steadyNanos, now)
        .forEach(
            (part, still) -> {
              String words = "The %s has stood still for more than %d s.";
              found.put(
                  TroubleKey.of(TroubleKind.PART_STUCK, part),
                  words.formatted(part, Progress.STUCK_AFTER.toSeconds()));
              endIfHopeless(part, still);
            });
    return found;
  }

  private void endIfHopeless(String part, Duration still) {
    if (still.compareTo(Progress.HOPELESS_AFTER) >= 0) {
      end.accept("the %s has stood still for %d s".formatted(part, still.toSeconds()));
    }
  }
}
