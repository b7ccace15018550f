// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

import java.time.Duration;
import java.time.Instant;

/**
 * Something that a named person asked for and that ends by itself: a silence, a shelving.
 *
 * @param by who
 * @param from since when
 * @param length for how long
 */
public record Pause(String by, Instant from, Duration length) {

  /** When it ends. */
  public Instant until() {
    return from.plus(length);
  }

  boolean isOver(Instant now) {
    return !now.isBefore(until());
  }

  /** Where the clock was put back to before the start it begins anew, lest it last for hours. */
  Pause at(Instant now) {
    return now.isBefore(from) ? new Pause(by, now, length) : this;
  }
}
