// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.time.Duration;
import java.util.Collection;
import java.util.OptionalLong;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.LongSupplier;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Whether the broker has still to hand out what it keeps of the watch: which tanks there are, and
 * which topics feed them. Readings of a tank that was set up while this process was away wait in
 * the same broker, and may come first. For any thread.
 */
final class AwaitedNews {

  private static final Logger log = LoggerFactory.getLogger(AwaitedNews.class);

  /**
   * For so long a reading waits. A link that was lost tries again after ten seconds at the latest;
   * the broker then hands out what it keeps within moments.
   */
  static final Duration AT_MOST = Duration.ofSeconds(15);

  private final Set<String> topics;
  private final LongSupplier steadyNanos;
  private final Set<String> missing;
  private OptionalLong since = OptionalLong.empty();
  private boolean isSaid;

  /**
   * @param topics on which each has one message that the broker keeps
   * @param steadyNanos a clock that nobody sets
   */
  AwaitedNews(Collection<String> topics, LongSupplier steadyNanos) {
    this.topics = Set.copyOf(topics);
    this.steadyNanos = steadyNanos;
    this.missing = new TreeSet<>(topics);
  }

  /** A message came. */
  synchronized void heard(String topic) {
    missing.remove(topic);
    if (missing.isEmpty()) {
      since = OptionalLong.empty();
      isSaid = false;
    }
  }

  /**
   * What was heard may be old by the time that the broker is there again. A wait that ran out may
   * begin anew; one that runs goes on, or a link that is lost ever again would hold a reading for
   * ever.
   */
  synchronized void lost() {
    missing.addAll(topics);
    if (hasRunOut(steadyNanos.getAsLong())) {
      since = OptionalLong.empty();
      isSaid = false;
    }
  }

  /**
   * Asked while a reading waits for it. The wait begins with the first such reading, and is one for
   * all until everything has been heard, or the link is lost after it ran out.
   */
  synchronized boolean isAwaited() {
    if (missing.isEmpty()) {
      return false;
    }
    long now = steadyNanos.getAsLong();
    if (since.isEmpty()) {
      since = OptionalLong.of(now);
    }
    boolean isAwaited = !hasRunOut(now);
    if (!isAwaited && !isSaid) {
      isSaid = true;
      log.warn(
          "the broker holds nothing on {}: until analyse says there which tanks there are and which topics feed them, the tanks of the farm's file and what was heard before count, and readings of others are turned away",
          missing);
    }
    return isAwaited;
  }

  private boolean hasRunOut(long now) {
    return since.isPresent() && now - since.getAsLong() >= AT_MOST.toNanos();
  }
}
