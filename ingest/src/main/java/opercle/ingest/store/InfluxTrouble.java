// SPDX-License-Identifier: Apache-2.0
package opercle.ingest.store;

import java.time.Duration;
import java.util.Optional;

/** Why InfluxDB did not take points. */
final class InfluxTrouble extends Exception {

  private static final long serialVersionUID = 1L;

  /** Whose fault it is. */
  enum Kind {
    /** It cannot be reached, or will not have us just now: the same again may go well. */
    AWAY,
    /** It looked at these points and will not have one of them. */
    REFUSED
  }

  private final Kind kind;
  private final transient Optional<Duration> retryAfter;

  InfluxTrouble(Kind kind, String message, Optional<Duration> retryAfter, Throwable cause) {
    super(message, cause);
    this.kind = kind;
    this.retryAfter = retryAfter;
  }

  Kind kind() {
    return kind;
  }

  /** How long it asks us to wait. */
  Optional<Duration> retryAfter() {
    return retryAfter;
  }
}
