// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.farm.Tank;
import opercle.analysis.watch.FarmWatch;
import opercle.analysis.watch.TankState;
import opercle.dashboard.assess.AssessmentPlan.PlannedNight;
import opercle.dashboard.assess.NightRecord.Call;
import opercle.dashboard.assess.NightRecord.Look;
import opercle.dashboard.assess.NightRecord.Told;
import opercle.ingest.reading.Reading;
import opercle.simulator.SimulatedNight;
import opercle.simulator.Truth;

/**
 * Plays one simulated night to the watch and to the plain rules, second by second as it would
 * arrive, and only then asks for the truth. Nobody acknowledges anything. One thread only.
 */
final class NightRun {

  private static final Duration SECOND = Duration.ofSeconds(1);
  private static final Duration LOOK_EVERY = Duration.ofMinutes(1);

  /** A ramp is not measured over less: water moving past the probe is no fall. */
  private static final Duration SHORTEST_RAMP = Duration.ofMinutes(1);

  private static final Duration RAMP_STEP = Duration.ofSeconds(5);

  private final SimulatedNight night;
  private final Tank tank;
  private final FarmWatch watch;
  private final List<PlainRule> rules;
  private final List<RawTold> told = new ArrayList<>();
  private final Map<Detector, List<Instant>> called = new EnumMap<>(Detector.class);
  private final List<Look> looks = new ArrayList<>();

  private record RawTold(AlarmEvent event, Look look) {}

  private NightRun(SimulatedNight night) {
    this.night = night;
    tank =
        night.farm().tanks().stream()
            .filter(t -> t.id().equals(night.tank()))
            .findFirst()
            .orElseThrow();
    watch = new FarmWatch(night.farm());
    rules = PlainRule.all(tank);
  }

  /** Plays a night. */
  static NightRecord play(PlannedNight planned, Changes changes) {
    SimulatedNight night = new SimulatedNight(planned.seed(), planned.kind());
    if (!changes.isNone()) {
      night =
          new SimulatedNight(
              planned.seed(),
              planned.kind(),
              new SimulatedNight.Options(
                  SimulatedNight.Options.USUAL.length(),
                  Optional.of(changes.applyTo(night.fittings()))));
    }
    return new NightRun(night).play();
  }

  private NightRecord play() {
    Instant nextLook = night.start().plus(LOOK_EVERY);
    while (night.now().isBefore(night.end())) {
      List<Reading> arrived = night.next(SECOND);
      Instant now = night.now();
      for (Reading reading : arrived) {
        note(watch.accept(reading), now);
        if (reading.tank().equals(tank.id())) {
          for (PlainRule rule : rules) {
            if (rule.accept(reading, now)) {
              called.computeIfAbsent(rule.detector(), d -> new ArrayList<>()).add(now);
            }
          }
        }
      }
      note(watch.tick(now), now);
      if (!now.isBefore(nextLook)) {
        looks.add(look(now));
        nextLook = nextLook.plus(LOOK_EVERY);
      }
    }
    return record(night.truth());
  }

  private void note(List<AlarmEvent> events, Instant now) {
    for (AlarmEvent event : events) {
      boolean calls =
          event.event() == AlarmEvent.Kind.RAISED || event.event() == AlarmEvent.Kind.ESCALATED;
      if (calls && event.tank().equals(tank.id())) {
        told.add(new RawTold(event, look(now)));
      }
    }
  }

  private Look look(Instant now) {
    TankState state = watch.state(tank.id(), now);
    return new Look(now, state.timeInHand(), state.timeInHandIfGasStops());
  }

  private NightRecord record(Truth truth) {
    Tank.Floors floors = tank.floorsInForce();
    Instant from = truth.onset().orElse(night.start());
    Optional<Instant> harmAt = truth.reaches(floors.criticalMgPerL(), from);
    Map<Detector, List<Call>> calls = new EnumMap<>(Detector.class);
    called.forEach(
        (detector, times) -> calls.put(detector, times.stream().map(t -> call(t, truth)).toList()));
    return new NightRecord(
        truth.kind(),
        night.start(),
        night.end(),
        truth.onset(),
        harmAt,
        floors.keepMgPerL(),
        night.fittings(),
        truth.onset().isPresent()
            ? steepestRamp(truth, from, harmAt.orElse(truth.knownUntil()))
            : OptionalDouble.empty(),
        told.stream()
            .map(
                t ->
                    new Told(
                        call(t.look().at(), truth),
                        t.event().cause(),
                        t.event().priority(),
                        t.look()))
            .toList(),
        calls,
        looks.stream().filter(l -> !l.at().isBefore(from)).toList());
  }

  private static Call call(Instant at, Truth truth) {
    return new Call(at, truth.oxygenMgPerL(at));
  }

  private static OptionalDouble steepestRamp(Truth truth, Instant onset, Instant until) {
    double before = truth.oxygenMgPerL(onset);
    double steepest = 0.0;
    for (Instant t = onset.plus(SHORTEST_RAMP); !t.isAfter(until); t = t.plus(RAMP_STEP)) {
      double minutes = Duration.between(onset, t).toMillis() / 60_000.0;
      steepest = Math.max(steepest, (before - truth.oxygenMgPerL(t)) / minutes);
    }
    return steepest > 0.0 ? OptionalDouble.of(steepest) : OptionalDouble.empty();
  }
}
