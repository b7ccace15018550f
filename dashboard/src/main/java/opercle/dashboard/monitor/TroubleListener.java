// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.monitor;

import java.util.List;
import opercle.analysis.monitor.MonitorTrouble;
import opercle.analysis.monitor.TroubleEvent;

/**
 * Told of the monitor's own troubles: MQTT, the log, and whoever calls people.
 *
 * <p>Called on the monitor's thread once a second, so it must return at once.
 */
@FunctionalInterface
public interface TroubleListener {

  /**
   * One look.
   *
   * @param events what happened, mostly nothing; go by the trouble's priority
   * @param standing all that stands, most urgent first
   */
  void looked(List<TroubleEvent> events, List<MonitorTrouble> standing);
}
