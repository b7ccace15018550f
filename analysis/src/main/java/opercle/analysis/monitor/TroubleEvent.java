// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.monitor;

import java.time.Instant;
import java.util.Locale;

/**
 * Something happened to a trouble of the monitor.
 *
 * @param time by the wall clock
 * @param event what
 * @param trouble the trouble, as it is or was
 */
public record TroubleEvent(Instant time, Kind event, MonitorTrouble trouble) {

  /** What happened. */
  public enum Kind {
    RAISED,
    CHANGED,
    CLEARED;

    /** The word in JSON. */
    public String id() {
      return name().toLowerCase(Locale.ROOT);
    }
  }
}
