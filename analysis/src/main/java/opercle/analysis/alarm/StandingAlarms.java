// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.alarm;

import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Stream;
import opercle.analysis.alarm.AlarmEvent.Kind;
import org.jspecify.annotations.Nullable;

/**
 * The alarms of one tank as they are kept, and what is out of service there. An alarm that is told
 * is kept as it is told; one that is done with is forgotten. Not thread-safe.
 */
final class StandingAlarms {

  private final Map<AlarmCause, AlarmEntry> entries = new EnumMap<>(AlarmCause.class);
  private final List<OutOfService> outOfService = new ArrayList<>();
  private final AlarmTelling telling;

  /** None. */
  StandingAlarms(String tank) {
    this.telling = new AlarmTelling(tank, outOfService);
  }

  /** The alarm of a cause; null where none stands. */
  @Nullable AlarmEntry entry(AlarmCause cause) {
    return entries.get(cause);
  }

  /** All of them, as they are now. */
  List<AlarmEntry> all() {
    return List.copyOf(entries.values());
  }

  boolean isEmpty() {
    return entries.isEmpty();
  }

  /** Keeps an alarm of which there is no news. */
  void keep(AlarmEntry entry) {
    entries.put(entry.finding().cause(), entry);
  }

  /** What is out of service, to be changed by it alone. */
  ServiceOrders orders() {
    return new ServiceOrders(this, outOfService);
  }

  /** Whether no order is over a cause. */
  boolean isInService(AlarmCause cause) {
    return telling.order(cause).isEmpty();
  }

  /** Keeps an alarm and tells what happened to it, by itself. */
  Optional<AlarmEvent> tell(Instant now, Kind kind, AlarmEntry entry) {
    return tell(now, kind, entry, Optional.empty());
  }

  /** Keeps an alarm and tells what somebody did with it. */
  Optional<AlarmEvent> tell(Instant now, Kind kind, AlarmEntry entry, Optional<String> by) {
    AlarmCause cause = entry.finding().cause();
    if (entry.isDone()) {
      entries.remove(cause);
    } else {
      entries.put(cause, entry);
    }
    return Optional.of(telling.event(now, kind, entry, by));
  }

  /** The state of an alarm for all to see. */
  AlarmState shown(AlarmEntry entry) {
    return telling.state(entry);
  }

  /** All of them for all to see. */
  Stream<Alarm> shown() {
    return entries.values().stream().map(telling::alarm);
  }

  Map<AlarmCause, AlarmEntry> snapshot() {
    return Map.copyOf(entries);
  }

  void restore(Map<AlarmCause, AlarmEntry> snapshot) {
    entries.clear();
    entries.putAll(snapshot);
  }
}
