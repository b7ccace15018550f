// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

import java.time.Instant;
import java.util.Optional;

/**
 * A tank, or one cause of it, is out of service: it is watched and recorded as ever, but its alarms
 * call nobody. Ends by itself.
 *
 * @param cause which cause; empty for all of the tank's
 * @param reason why, as the person wrote it
 * @param by who took it out of service
 * @param from since when
 * @param until when it returns
 */
public record OutOfService(
    Optional<AlarmCause> cause, String reason, String by, Instant from, Instant until) {

  boolean covers(AlarmCause other) {
    return cause.isEmpty() || cause.get() == other;
  }

  /** Where the clock was put back to before the start, the whole of it moves along. */
  OutOfService at(Instant now) {
    return now.isBefore(from)
        ? new OutOfService(
            cause, reason, by, now, now.plus(java.time.Duration.between(from, until)))
        : this;
  }
}
