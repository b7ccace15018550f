// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.monitor;

import java.time.Instant;
import opercle.analysis.alarm.Priority;

/**
 * Something is wrong with the monitor itself.
 *
 * @param key which trouble
 * @param since when it began, by the wall clock
 * @param words what, a sentence
 */
public record MonitorTrouble(TroubleKey key, Instant since, String words) {

  /** How urgent it is. */
  public Priority priority() {
    return key.kind().priority();
  }

  /** The one thing to do, a sentence. */
  public String action() {
    return key.kind().action();
  }
}
