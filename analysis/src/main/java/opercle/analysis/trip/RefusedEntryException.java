// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.time.Instant;
import java.util.List;
import java.util.function.Function;

/**
 * An entry that does not fit the trip; says why, for the person who wrote it. The message has its
 * times in UTC, {@link #told} as somebody's clock shows them.
 */
public final class RefusedEntryException extends RuntimeException {

  private static final long serialVersionUID = 1L;

  private final String why;
  private final transient List<Instant> times;

  /** A sentence without times. */
  RefusedEntryException(String message) {
    super(message);
    this.why = message.replace("%", "%%");
    this.times = List.of();
  }

  /**
   * A sentence with times.
   *
   * @param why with a place, {@code %s}, for each
   */
  RefusedEntryException(String why, List<Instant> times) {
    super(why.formatted(times.toArray()));
    this.why = why;
    this.times = List.copyOf(times);
  }

  /**
   * Why, as the person reads it.
   *
   * @param time writes a time as their clock had it
   */
  public String told(Function<Instant, String> time) {
    return why.formatted(times.stream().map(time).toArray());
  }
}
