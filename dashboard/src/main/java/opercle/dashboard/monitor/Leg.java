// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.monitor;

import java.util.Map;
import opercle.analysis.monitor.TroubleKey;

/**
 * Something that the monitor stands on, looked at once a second by one thread.
 *
 * <p>It must return promptly: what takes long is done elsewhere, and its outcome looked at here.
 */
@FunctionalInterface
public interface Leg {

  /**
   * What is wrong with it now, each in a sentence; empty if all is well.
   *
   * @param steadyNanos a clock that never steps, ns
   */
  Map<TroubleKey, String> look(long steadyNanos);

  /** What to call it in a sentence, for instance {@code the disk}. */
  default String what() {
    return "a part of it";
  }
}
