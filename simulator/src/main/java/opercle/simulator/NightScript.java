// SPDX-License-Identifier: Apache-2.0
package opercle.simulator;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import opercle.analysis.farm.Tank;
import opercle.simulator.Happening.Kind;
import opercle.simulator.physics.Chance;

/**
 * Draws what happens in a night of some kind.
 *
 * <p>Ranges: handling ×1.4–2, exhausted fish ×3–4, digestion ×1.9 (stress multipliers, science
 * notes); drift 0.5–2 % a week, which no night shows, so that drifts here are those of a failing
 * probe; lags and noise from the sensor facts. Where no source gives a range it is construction.
 * When the event sets in is uniform over the night, and its phase against the probes' sampling is
 * random.
 */
final class NightScript {

  private static final Where ALL = new Where.Everywhere();

  private final Chance chance;
  private final Where where;
  private final Tank tank;
  private final double nightSeconds;
  private final List<Happening> happenings = new ArrayList<>();
  private Optional<Duration> onset = Optional.empty();

  private NightScript(Chance chance, Tank tank, Duration night) {
    this.chance = chance;
    this.tank = tank;
    where = new Where.OneTank(tank.id(), tank.kind());
    nightSeconds = night.toSeconds();
  }

  /**
   * A drawn night.
   *
   * @param happenings all of them
   * @param onset when the event that gives the night its name sets in; empty on a quiet night
   */
  record Drawn(List<Happening> happenings, Optional<Duration> onset) {}

  static Drawn draw(NightKind kind, Tank tank, Duration night, Chance chance) {
    NightScript script = new NightScript(chance, tank, night);
    script.ordinaryLife();
    switch (kind.group()) {
      case QUIET -> {
        // ordinary life is all
      }
      case SUPPLY_FAULT -> script.supplyFault(kind);
      case DEMAND_FAULT -> script.demandFault(kind);
      case NUISANCE -> script.nuisance(kind);
      case PROBE_FAULT -> script.probeFault(kind);
    }
    return new Drawn(List.copyOf(script.happenings), script.onset);
  }

  /** What any night may bring. */
  private void ordinaryLife() {
    if (chance.happens(0.3)) {
      add(Kind.FLOW_TRIMMED, anyTime(), chance.between(-0.06, 0.08));
    }
    if (chance.happens(0.2)) {
      passing(Kind.LINK_DOWN, anyTime(), chance.logBetween(10.0, 90.0), 1.0);
    }
    if (chance.happens(0.2)) {
      add(Kind.LINK_DISORDERED, 0.0, chance.logBetween(0.001, 0.02));
    }
    if (chance.happens(0.15)) {
      passing(Kind.METER_SAYS_ZERO, anyTime(), chance.between(2.0, 6.0), 1.0);
    }
    if (chance.happens(0.2)) {
      passing(
          Kind.PROBE_SPIKES, anyTime(), chance.logBetween(600.0, 7200.0), chance.between(0.2, 0.8));
    }
  }

  private void supplyFault(NightKind kind) {
    double at = begin();
    switch (kind) {
      case LINE_STOPS -> add(Kind.VALVE_SHUTS, at, 1.0);
      case SPLIT_BEFORE_METER -> add(Kind.LINE_SPLITS_BEFORE_METER, at, chance.between(0.9, 1.0));
      case SPLIT_AFTER_METER -> add(Kind.LINE_SPLITS_AFTER_METER, at, chance.between(0.93, 1.0));
      case DIFFUSER_BLOCKS ->
          comingOn(Kind.DIFFUSER_BLOCKS, at, chance.logBetween(10.0, 900.0), 1.0);
      case BUBBLES_COARSEN -> add(Kind.BUBBLES_COARSEN, at, chance.between(0.8, 0.97));
      case BLOWER_STOPS -> happenings.add(Happening.at(seconds(at), Kind.BLOWER_STOPS, ALL, 1.0));
      case CYLINDER_RUNS_OUT -> cylinderRunsOut(at);
      case PARTIAL_LOSS -> partialLoss(at);
      case DIFFUSER_BLOCKS_SLOWLY ->
          comingOn(Kind.DIFFUSER_BLOCKS, at, chance.between(3600.0, 3.0 * 3600.0), 1.0);
      case LINE_STOPS_WHILE_FED -> {
        add(Kind.FISH_FED, Math.max(0.0, at - chance.between(600.0, 3600.0)), meal());
        add(Kind.VALVE_SHUTS, at, 1.0);
      }
      case LINE_STOPS_WHILE_LINK_IS_DOWN -> {
        double before = chance.between(5.0, 120.0);
        double down = before + chance.logBetween(30.0, 300.0);
        passing(Kind.LINK_DOWN, Math.max(0.0, at - before), down, 1.0);
        add(Kind.VALVE_SHUTS, at, 1.0);
      }
      case LINE_STOPS_WHILE_METER_IS_STUCK -> {
        add(Kind.METER_STUCK, Math.max(0.0, at - chance.between(60.0, 3600.0)), 1.0);
        add(Kind.VALVE_SHUTS, at, 1.0);
      }
      case SPLIT_AFTER_METER_WITH_FOULED_PROBE -> {
        comingOn(Kind.PROBE_FOULED, 0.0, Math.max(600.0, 0.5 * at), chance.between(0.3, 0.8));
        add(Kind.LINE_SPLITS_AFTER_METER, at, chance.between(0.93, 1.0));
      }
      default -> throw new IllegalArgumentException(kind + " is no supply fault");
    }
  }

  private void partialLoss(double at) {
    if (chance.happens(0.5)) {
      add(Kind.VALVE_SHUTS, at, chance.between(0.75, 0.95));
    } else {
      add(Kind.LINE_SPLITS_AFTER_METER, at, chance.between(0.7, 0.9));
    }
  }

  /** What is left lasts for 20 minutes to two hours; then the regulator drops out. */
  private void cylinderRunsOut(double at) {
    double litresLeft = chance.logBetween(20.0, 120.0) * tank.supply().flowLPerMin();
    double volume = tank.supply().cylinder().map(Tank.Cylinder::waterLitres).orElse(50.0);
    add(Kind.CYLINDER_DOWN_TO, at, 4.0 + litresLeft / volume);
  }

  private void demandFault(NightKind kind) {
    double at = begin();
    if (kind == NightKind.LOAD_TOO_HEAVY) {
      boolean holding = tank.kind() == Tank.Kind.HOLDING;
      add(Kind.FISH_ADDED, at, holding ? chance.between(1.2, 2.5) : chance.between(0.4, 0.9));
    } else {
      comingOn(
          Kind.WATER_SOURS, at, chance.between(1800.0, 7200.0), chance.logBetween(80.0, 200.0));
    }
  }

  private void nuisance(NightKind kind) {
    double at = begin();
    switch (kind) {
      case FEEDING -> add(Kind.FISH_FED, at, meal());
      case HANDLING -> {
        for (int i = 0; i <= chance.below(3); i++) {
          add(Kind.FISH_HANDLED, at + i * 3600.0, chance.between(1.3, 1.8));
        }
      }
      case FISH_ADDED -> add(Kind.FISH_ADDED, at, chance.between(0.02, 0.12));
      case WATER_CHANGED -> add(Kind.WATER_CHANGED, at, chance.between(0.1, 0.4));
      case SURFACE_STIRRED ->
          passing(
              Kind.SURFACE_STIRRED, at, chance.logBetween(300.0, 3600.0), chance.between(1.5, 3.0));
      case FLOW_TRIMMED -> {
        for (int i = 0; i < 3; i++) {
          passing(
              Kind.FLOW_TRIMMED,
              at + i * 2400.0,
              chance.logBetween(300.0, 7200.0),
              chance.between(-0.15, 0.25));
        }
      }
      case ROAD -> road(at);
      case WARM_SPELL ->
          comingOn(
              Kind.WARM_SPELL, at, chance.between(3600.0, 6.0 * 3600.0), chance.between(4.0, 12.0));
      case METER_GLITCHES -> meterGlitches(at);
      case DROP_OUTS -> {
        for (int i = 0; i < 4; i++) {
          passing(Kind.LINK_DOWN, at + i * 1800.0, chance.logBetween(20.0, 600.0), 1.0);
        }
      }
      case DISORDER -> {
        add(Kind.LINK_DISORDERED, at, chance.logBetween(0.02, 0.2));
        add(Kind.LINK_REPEATS, at, chance.logBetween(0.02, 0.2));
      }
      case CLOCK_STEPS ->
          passing(
              Kind.CLOCK_STEPS,
              at,
              chance.logBetween(300.0, 7200.0),
              (chance.happens(0.5) ? 1.0 : -1.0) * chance.logBetween(2.0, 3600.0));
      default -> throw new IllegalArgumentException(kind + " is no nuisance");
    }
  }

  private void road(double at) {
    double lasts = chance.between(1800.0, 3.0 * 3600.0);
    passing(Kind.SURFACE_STIRRED, at, lasts, chance.between(1.5, 3.0));
    passing(Kind.PROBE_NOISY, at, lasts, chance.between(2.0, 5.0));
    passing(Kind.PROBE_SPIKES, at, lasts, chance.between(0.3, 2.0));
    for (int i = 0; i < 6; i++) { // braking lays the probe bare for a moment
      passing(Kind.PROBE_IN_AIR, at + chance.between(0.0, lasts), chance.between(2.0, 8.0), 1.0);
    }
  }

  private void meterGlitches(double at) {
    for (int i = 0; i < 4; i++) {
      passing(Kind.METER_SAYS_ZERO, at + i * 900.0, chance.between(1.0, 6.0), 1.0);
    }
    double restart = at + 4000.0;
    passing(Kind.METER_SILENT, restart, 20.0, 1.0);
    passing(Kind.METER_SAYS_ZERO, restart + 20.0, chance.between(3.0, 7.0), 1.0);
    passing(Kind.METER_STUCK, at + 5000.0, chance.between(600.0, 7200.0), 1.0);
  }

  private void probeFault(NightKind kind) {
    double at = begin();
    switch (kind) {
      case PROBE_STUCK -> add(Kind.PROBE_STUCK, at, 1.0);
      case PROBE_DRIFTS ->
          comingOn(
              Kind.PROBE_DRIFTS,
              at,
              chance.between(3600.0, 5.0 * 3600.0),
              (chance.happens(0.7) ? -1.0 : 1.0) * chance.between(0.5, 2.5));
      case PROBE_FOULED ->
          comingOn(
              Kind.PROBE_FOULED,
              at,
              chance.between(2.0 * 3600.0, 8.0 * 3600.0),
              chance.between(0.4, 1.0));
      case PROBE_IN_AIR -> passing(Kind.PROBE_IN_AIR, at, chance.logBetween(30.0, 3600.0), 1.0);
      case PROBE_IN_BUBBLE -> {
        for (int i = 0; i < 3; i++) {
          passing(Kind.PROBE_IN_BUBBLE, at + i * 1500.0, chance.logBetween(20.0, 1200.0), 1.0);
        }
      }
      case PROBE_SPIKES -> add(Kind.PROBE_SPIKES, at, chance.between(0.5, 3.0));
      case PROBE_SILENT -> add(Kind.PROBE_SILENT, at, 1.0);
      default -> throw new IllegalArgumentException(kind + " is no probe fault");
    }
  }

  private double meal() {
    return chance.between(1.15, 1.45); // whole tank: not all fish eat at once (×1.9 a fish)
  }

  /** Fixes when the night's event sets in: after a settled while, with time left to see it out. */
  private double begin() {
    double at = chance.between(Math.min(5400.0, 0.2 * nightSeconds), 0.7 * nightSeconds);
    onset = Optional.of(seconds(at));
    return at;
  }

  private double anyTime() {
    return chance.between(0.0, nightSeconds);
  }

  private void add(Kind kind, double at, double size) {
    happenings.add(Happening.at(seconds(at), kind, where, size));
  }

  private void passing(Kind kind, double at, double lasts, double size) {
    happenings.add(Happening.at(seconds(at), kind, where, size).lasting(seconds(lasts)));
  }

  private void comingOn(Kind kind, double at, double over, double size) {
    happenings.add(Happening.at(seconds(at), kind, where, size).over(seconds(over)));
  }

  private static Duration seconds(double s) {
    return Duration.ofMillis(Math.round(1000.0 * s));
  }
}
