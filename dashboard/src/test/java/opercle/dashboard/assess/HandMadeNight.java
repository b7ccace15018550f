// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.Band;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.Priority;
import opercle.analysis.watch.TimeInHand;
import opercle.dashboard.assess.NightRecord.Call;
import opercle.dashboard.assess.NightRecord.Look;
import opercle.dashboard.assess.NightRecord.Told;
import opercle.simulator.NightKind;
import opercle.simulator.probe.Fittings;

/**
 * A night put together by hand: twelve hours from minute 0, the event at minute 100 unless quiet, a
 * keep floor of 5 mg/L, one oxygen probe, a meter. Times are minutes from the start.
 */
final class HandMadeNight {

  static final double ONSET = 100.0;
  static final double END = 720.0;
  static final double FINE_MG_PER_L = 8.0;
  private static final Instant START = Instant.parse("2026-03-14T20:00:00Z");

  private final NightKind kind;
  private final List<Told> told = new ArrayList<>();
  private final Map<Detector, List<Call>> rules = new EnumMap<>(Detector.class);
  private final List<Look> looks = new ArrayList<>();
  private Optional<Instant> harmAt = Optional.empty();
  private OptionalDouble steepest = OptionalDouble.empty();
  private boolean meter = true;

  private HandMadeNight(NightKind kind) {
    this.kind = kind;
  }

  static HandMadeNight of(NightKind kind) {
    return new HandMadeNight(kind);
  }

  static Instant at(double minutes) {
    return START.plusMillis(Math.round(60_000.0 * minutes));
  }

  static TimeInHand band(double low, double high) {
    return new TimeInHand.Minutes(new Band(low, 0.5 * (low + high), high));
  }

  HandMadeNight harmAt(double minutes) {
    harmAt = Optional.of(at(minutes));
    return this;
  }

  HandMadeNight falling(double mgPerLPerMin) {
    steepest = OptionalDouble.of(mgPerLPerMin);
    return this;
  }

  HandMadeNight withoutMeter() {
    meter = false;
    return this;
  }

  HandMadeNight told(double minutes, AlarmCause cause, Priority priority) {
    return told(minutes, cause, priority, FINE_MG_PER_L, new TimeInHand.Holding());
  }

  HandMadeNight told(
      double minutes, AlarmCause cause, Priority priority, double trueOxygen, TimeInHand stated) {
    told.add(
        new Told(
            new Call(at(minutes), trueOxygen),
            cause,
            priority,
            new Look(at(minutes), stated, stated)));
    return this;
  }

  HandMadeNight called(Detector rule, double minutes) {
    rules.computeIfAbsent(rule, d -> new ArrayList<>()).add(new Call(at(minutes), FINE_MG_PER_L));
    return this;
  }

  HandMadeNight look(double minutes, TimeInHand asThingsGo, TimeInHand ifGasStops) {
    looks.add(new Look(at(minutes), asThingsGo, ifGasStops));
    return this;
  }

  NightRecord made() {
    return new NightRecord(
        kind,
        START,
        at(END),
        kind == NightKind.QUIET ? Optional.empty() : Optional.of(at(ONSET)),
        harmAt,
        5.0,
        new Fittings(1, meter, false, true, 5.0, 30.0, 0.05),
        steepest,
        told,
        rules,
        looks);
  }
}
