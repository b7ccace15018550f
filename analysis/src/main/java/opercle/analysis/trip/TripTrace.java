// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.time.Instant;
import java.util.List;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.trip.TripEntry.StopCheck;
import opercle.analysis.watch.TankEvent;
import opercle.ingest.reading.Reading;

/**
 * What was measured, alarmed and noted at a tank in a span of time.
 *
 * @param from first instant
 * @param to last instant
 * @param readings of the tank, in any order
 * @param alarms of the tank, in order of time
 * @param events that people noted at the tank, in order of time
 * @param checks that people made at the tank and wrote down there and not with the trip, in order
 *     of time
 */
public record TripTrace(
    Instant from,
    Instant to,
    List<Reading> readings,
    List<AlarmEvent> alarms,
    List<TankEvent> events,
    List<StopCheck> checks) {

  /** Without checks but those of the trip. */
  public TripTrace(
      Instant from,
      Instant to,
      List<Reading> readings,
      List<AlarmEvent> alarms,
      List<TankEvent> events) {
    this(from, to, readings, alarms, events, List.of());
  }

  public TripTrace {
    readings = List.copyOf(readings);
    alarms = List.copyOf(alarms);
    events = List.copyOf(events);
    checks = List.copyOf(checks);
    if (!to.isAfter(from)) {
      throw new IllegalArgumentException(
          "a trace from %s must end after it, not at %s".formatted(from, to));
    }
  }
}
