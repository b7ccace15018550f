// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.figures;

import java.time.Instant;
import java.util.List;
import java.util.Optional;

/**
 * How the calls that went out to people fared.
 *
 * @param tried how many were tried
 * @param failed how many of them never got through
 * @param forTheMonitor when somebody was called for a trouble of the monitor itself, in order
 */
public record Deliveries(int tried, int failed, List<Instant> forTheMonitor) {

  public Deliveries {
    forTheMonitor = List.copyOf(forTheMonitor);
  }

  /** Whoever keeps the list of calls. */
  @FunctionalInterface
  public interface Source {

    /** Nobody calls anybody. */
    Source NONE = (from, to) -> Optional.empty();

    /** Those tried from an instant, included, to another, not included; empty: not kept. */
    Optional<Deliveries> between(Instant from, Instant to);
  }
}
