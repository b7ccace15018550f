// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.net.URI;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.Set;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import opercle.analysis.calling.Call;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.analysis.monitor.MonitorTrouble;
import opercle.analysis.monitor.TroubleKey;
import opercle.analysis.monitor.TroubleKind;
import opercle.analysis.stock.Species;

/** Calls, alarms and a farm to test with. */
final class Made {

  static final Instant NIGHT = Instant.parse("2026-03-14T02:11:07Z");

  private Made() {}

  static Farm farm() {
    return farm(List.of());
  }

  private static Farm farm(List<Tank.Load> loads) {
    return new Farm(
        "Sallowmere",
        40,
        List.of(
            new Tank(
                "h2",
                "Holding 2",
                Tank.Kind.HOLDING,
                1500,
                0.8,
                new Tank.Supply(
                    Tank.Gas.AIR,
                    Tank.Source.BLOWER,
                    Tank.Diffuser.POROUS_HOSE,
                    45,
                    Optional.empty()),
                loads,
                Optional.empty())));
  }

  /** The same with fish. */
  static Farm stockedFarm() {
    return farm(List.of(new Tank.Load(Species.TENCH, 55, OptionalInt.of(70), Optional.of(NIGHT))));
  }

  static AlarmEvent alarm() {
    return alarm(NIGHT, 9.8);
  }

  static AlarmEvent alarm(Instant since, double minutes) {
    return new AlarmEvent(
        since,
        "h2",
        AlarmCause.GAS_LINE_STOPPED,
        AlarmEvent.Kind.RAISED,
        Priority.HIGH,
        AlarmState.UNACKNOWLEDGED,
        OptionalDouble.of(minutes),
        OptionalDouble.of(8.62),
        "Holding 2: no gas flow for 8 s. About 9 min in hand. Go and get the blower running.");
  }

  static Call call(Call.Kind kind, boolean driving) {
    return new Call(
        "11111111-2222-3333-4444-555555555555",
        "Maren",
        "mail",
        kind,
        NIGHT,
        driving,
        1,
        kind == Call.Kind.TEST ? List.of() : List.of(alarm()),
        List.of(),
        "",
        Optional.empty(),
        Set.of());
  }

  /** One of many, told apart by its key. */
  static Call call(int number) {
    return new Call(
        "key-" + number,
        "Maren",
        "mail",
        Call.Kind.ALARM,
        NIGHT,
        false,
        number,
        List.of(alarm()),
        List.of(),
        "",
        Optional.empty(),
        Set.of());
  }

  static MonitorTrouble trouble(TroubleKind kind, String words) {
    return new MonitorTrouble(TroubleKey.of(kind), NIGHT, words);
  }

  /** A call about the monitor itself. */
  static Call monitorCall(Call.Kind kind, Optional<String> by, MonitorTrouble... troubles) {
    return new Call(
        "11111111-2222-3333-4444-555555555555",
        "Maren",
        "mail",
        kind,
        NIGHT,
        false,
        1,
        List.of(),
        List.of(troubles),
        "the monitor/disk-full/1773454267000",
        by,
        Set.of());
  }

  static Message message() {
    return message(Call.Kind.ALARM);
  }

  static Message message(Call.Kind kind) {
    return new Words(farm())
        .message(call(kind, false), Optional.of(URI.create("https://fish.example.org/have/a.b")));
  }
}
