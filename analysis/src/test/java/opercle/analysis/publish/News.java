// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.publish;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.Band;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmId;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import opercle.analysis.watch.TankState;
import opercle.analysis.watch.TimeInHand;

/** States and events of the made-up farm Sallowmere, for the tests of what is told. */
final class News {

  static final Instant T0 = Instant.parse("2026-03-14T02:11:07Z");

  private News() {}

  static AlarmEvent event(String tank, AlarmEvent.Kind kind, AlarmState state, String message) {
    return new AlarmEvent(
        T0,
        tank,
        AlarmCause.OXYGEN_LOW,
        kind,
        Priority.HIGH,
        state,
        OptionalDouble.of(31.46),
        OptionalDouble.of(8.625),
        message);
  }

  static AlarmEvent raised(String tank, String message) {
    return event(tank, AlarmEvent.Kind.RAISED, AlarmState.UNACKNOWLEDGED, message);
  }

  /** A state of which nothing is known but its time. */
  static TankState silent(String tank, Instant time) {
    OptionalDouble none = OptionalDouble.empty();
    TimeInHand unknown = new TimeInHand.Unknown("no oxygen probe heard yet");
    return new TankState(
        tank,
        time,
        Optional.empty(),
        none,
        none,
        none,
        none,
        none,
        none,
        unknown,
        unknown,
        List.of());
  }

  /** A state with everything that a state can have, in figures that rounding leaves alone. */
  static TankState full() {
    Alarm acknowledged =
        new Alarm(
            "t1",
            AlarmCause.GAS_LINE_STOPPED,
            Priority.HIGH,
            AlarmState.ACKNOWLEDGED,
            T0.minusSeconds(90),
            Optional.of("Robin"),
            "Trailer tank: no gas flow for 1 min 30 s.",
            false,
            Optional.of(T0.plusSeconds(60)),
            Optional.of("Sam"),
            Optional.of(T0.plusSeconds(900)),
            Optional.of(new AlarmId("t2", AlarmCause.GAS_NOT_REACHING_WATER)),
            List.of("t1", "t2"),
            OptionalDouble.of(8.5));
    Alarm returned =
        new Alarm(
            "t1",
            AlarmCause.PROBE_SILENT,
            Priority.LOW,
            AlarmState.RETURNED_UNACKNOWLEDGED,
            T0.minusSeconds(900),
            Optional.empty(),
            "Trailer tank: all probes are heard again.");
    return new TankState(
        "t1",
        T0,
        Optional.of(T0.minusMillis(250)),
        OptionalDouble.of(8.62),
        OptionalDouble.of(80.1),
        OptionalDouble.of(12.25),
        OptionalDouble.of(0.0),
        OptionalDouble.of(-0.1875),
        OptionalDouble.of(142.3),
        new TimeInHand.Minutes(new Band(20.5, 31.4, Double.POSITIVE_INFINITY)),
        new TimeInHand.Minutes(new Band(18.0, 29.0, 55.5)),
        List.of(acknowledged, returned));
  }
}
