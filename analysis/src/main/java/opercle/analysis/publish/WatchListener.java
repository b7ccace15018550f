// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.publish;

import java.util.List;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.watch.TankState;

/**
 * Told what the watch says: MQTT, the log, the pages.
 *
 * <p>Called while the watch is held, so it must return at once: hand the news on, never wait for a
 * network.
 */
public interface WatchListener {

  /** Something happened to alarms, in this order. */
  void events(List<AlarmEvent> events);

  /** The state of every tank, once a second. */
  void states(List<TankState> states);
}
