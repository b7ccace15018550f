// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.publish;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.OutOfService;
import opercle.analysis.farm.Farm;
import opercle.analysis.watch.TankEvent;
import opercle.analysis.watch.TankState;

/**
 * Told what the watch says: MQTT, the log, the pages.
 *
 * <p>Called while the watch is held, so it must return at once: hand the news on, never wait for a
 * network.
 */
public interface WatchListener {

  /**
   * Something happened to alarms, in this order. After a restart an event may be told once more,
   * the same in every field.
   */
  void events(List<AlarmEvent> events);

  /** The state of every tank, once a second. */
  void states(List<TankState> states);

  /** Somebody has said what they did at a tank. */
  default void noted(TankEvent event) {}

  /**
   * The farm is described anew. What that did to alarms was told before.
   *
   * @param farm as it is now
   * @param gone the ids of tanks that it no longer has
   */
  default void described(Farm farm, Set<String> gone) {}

  /**
   * What is out of service at a tank has changed: something was taken out, or has returned.
   *
   * @param tank the tank's id
   * @param time when
   * @param now all that is out of service there now, with who, why and until when
   */
  default void outOfService(String tank, Instant time, List<OutOfService> now) {}

  /**
   * Events that it was told and has not handed on yet, oldest first: the watch keeps them on disk,
   * and tells them again after a restart. A listener that is done when {@link #events} returns, or
   * keeps a durable list of its own, has none.
   */
  default List<AlarmEvent> pending() {
    return List.of();
  }

  /** Why it cannot hand news on at present, in words; empty if all is well. */
  default Optional<String> trouble() {
    return Optional.empty();
  }
}
