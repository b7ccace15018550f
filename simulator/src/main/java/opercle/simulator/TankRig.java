// SPDX-License-Identifier: Apache-2.0
package opercle.simulator;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalInt;
import opercle.analysis.farm.Tank;
import opercle.ingest.reading.Quantity;
import opercle.simulator.physics.TankPhysics;
import opercle.simulator.physics.Weather;
import opercle.simulator.probe.Instruments;
import opercle.simulator.probe.ProbeTrouble;
import opercle.simulator.probe.SimulatedProbe;

/** A tank, its instruments, and what is happening to both. One thread only. */
final class TankRig {

  /** A happening with the times of this run, ms since 1970. */
  private record Planned(Happening happening, long fromMs, long fullMs, long untilMs) {}

  private static final double FRIGHT_FADES_HOURS = 0.75;
  private static final double MEAL_FADES_HOURS = 4.0;
  private static final double FRESH_WATER_COOLER_C = 2.0;
  private static final double SPIKES_PER_READING = 0.01;

  final TankPhysics physics;
  final Instruments instruments;
  private final List<Planned> planned = new ArrayList<>();
  private final List<Planned> active = new ArrayList<>();
  private boolean changing;

  TankRig(TankPhysics physics, Instruments instruments) {
    this.physics = physics;
    this.instruments = instruments;
  }

  void plan(Happening h, long startMs) {
    long from = startMs + h.after().toMillis();
    long until = h.lasting().map(d -> from + d.toMillis()).orElse(Long.MAX_VALUE);
    planned.add(new Planned(h, from, from + h.over().toMillis(), until));
  }

  /** Lets begin and end what is due; returns whether the blower is stopped as far as it knows. */
  void direct(long nowMs, Weather weather) {
    if (planned.isEmpty() && active.isEmpty()) {
      return;
    }
    for (int i = planned.size() - 1; i >= 0; i--) {
      Planned p = planned.get(i);
      if (p.fromMs() <= nowMs) {
        planned.remove(i);
        if (p.happening().kind().isOnce()) {
          doOnce(p.happening(), weather);
        } else {
          active.add(p);
          changing = true;
        }
      }
    }
    changing |= active.removeIf(p -> p.untilMs() <= nowMs);
    if (changing) {
      hold(nowMs);
      changing = active.stream().anyMatch(p -> nowMs < p.fullMs());
    }
  }

  /** Whether one of this tank's happenings stops the blower now. */
  boolean stopsBlower() {
    return active.stream().anyMatch(p -> p.happening().kind() == Happening.Kind.BLOWER_STOPS);
  }

  private void doOnce(Happening h, Weather weather) {
    switch (h.kind()) {
      case CYLINDER_DOWN_TO -> physics.supply().setCylinderBar(h.size());
      case FISH_ADDED -> addFish(h.size());
      case FISH_HANDLED -> physics.fish().stress(h.size(), FRIGHT_FADES_HOURS);
      case FISH_FED -> physics.fish().feed(h.size(), MEAL_FADES_HOURS);
      case WATER_CHANGED ->
          physics.changeWater(h.size(), physics.temperatureC() - FRESH_WATER_COOLER_C);
      case WARM_SPELL ->
          weather.warmUp(h.size(), h.size() / Math.max(0.1, h.over().toSeconds() / 3600.0));
      default -> throw new IllegalStateException(h.kind() + " is not done once");
    }
  }

  private void addFish(double share) {
    for (Tank.Load load : physics.tank().loads()) {
      physics
          .fish()
          .add(new Tank.Load(load.species(), share * load.kg(), scaled(load, share), load.since()));
    }
    physics.fish().stress(1.0 + share, FRIGHT_FADES_HOURS);
  }

  private static OptionalInt scaled(Tank.Load load, double share) {
    return load.count().isPresent()
        ? OptionalInt.of((int) Math.max(1L, Math.round(share * load.count().getAsInt())))
        : load.count();
  }

  /** Sets every control to what the active happenings make of it together. */
  private void hold(long nowMs) {
    double valve = 1.0;
    double before = 0.0;
    double after = 0.0;
    double blocked = 0.0;
    double quality = 1.0;
    double surface = 1.0;
    double corner = 1.0;
    double bacteria = 1.0;
    boolean linkDown = false;
    instruments.link().settle();
    instruments.probes().forEach(p -> p.trouble().clear());
    for (Planned p : active) {
      double size = p.happening().size() * progress(p, nowMs);
      switch (p.happening().kind()) {
        case VALVE_SHUTS -> valve *= 1.0 - size;
        case FLOW_TRIMMED -> valve *= 1.0 + size;
        case LINE_SPLITS_BEFORE_METER -> before = Math.max(before, size);
        case LINE_SPLITS_AFTER_METER -> after = Math.max(after, size);
        case DIFFUSER_BLOCKS -> blocked = Math.max(blocked, size);
        case BUBBLES_COARSEN -> quality *= 1.0 - size;
        case SURFACE_STIRRED -> surface *= Math.max(0.0, size);
        case CORNER_STANDS_STILL -> corner *= 1.0 - size;
        case WATER_SOURS -> bacteria *= Math.max(0.0, size);
        case LINK_DOWN -> linkDown = true;
        case LINK_DISORDERED -> instruments.link().comeLate(size);
        case LINK_REPEATS -> instruments.link().comeTwice(size);
        case CLOCK_STEPS -> instruments.link().misstamp(size);
        case BLOWER_STOPS -> {
          // the farm looks after its blower
        }
        default -> instruments.probes().forEach(probe -> trouble(probe, p.happening(), size));
      }
    }
    physics.line().turnValve(valve);
    physics.line().splitBeforeMeter(before);
    physics.line().splitAfterMeter(after);
    physics.line().block(blocked);
    physics.setTransferQuality(quality);
    physics.setSurfaceFactor(surface);
    physics.setCornerMixing(corner);
    physics.setBacteriaFactor(bacteria);
    instruments.link().setDown(linkDown, nowMs);
  }

  private static void trouble(SimulatedProbe probe, Happening happening, double size) {
    Quantity quantity = probe.series().quantity();
    boolean first = probe.series().probe().equals("1");
    boolean firstOxygen = quantity == Quantity.OXYGEN && first;
    ProbeTrouble trouble = probe.trouble();
    switch (happening.kind()) {
      case PROBE_IN_AIR -> {
        if (firstOxygen || quantity == Quantity.TEMPERATURE) {
          trouble.liftIntoAir();
        }
      }
      case PROBE_NOISY -> {
        if (quantity == Quantity.OXYGEN) {
          trouble.roughen(size);
        }
      }
      case PROBE_SPIKES -> {
        if (quantity == Quantity.OXYGEN) {
          trouble.spike(SPIKES_PER_READING, size);
        }
      }
      case METER_SAYS_ZERO -> {
        if (quantity == Quantity.GAS_FLOW) {
          trouble.sayZero();
        }
      }
      case METER_SILENT -> {
        if (quantity == Quantity.GAS_FLOW) {
          trouble.silence();
        }
      }
      case METER_STUCK -> {
        if (quantity == Quantity.GAS_FLOW) {
          trouble.stick();
        }
      }
      default -> {
        if (firstOxygen) {
          troubleFirstOxygen(trouble, happening, size);
        }
      }
    }
  }

  private static void troubleFirstOxygen(ProbeTrouble trouble, Happening happening, double size) {
    switch (happening.kind()) {
      case PROBE_STUCK -> trouble.stick();
      case PROBE_DRIFTS -> trouble.shift(size);
      case PROBE_FOULED -> trouble.foul(size);
      case PROBE_IN_BUBBLE -> {
        trouble.catchBubble();
        trouble.roughen(10.0);
      }
      case PROBE_SILENT -> trouble.silence();
      default -> throw new IllegalStateException("nothing is known of " + happening.kind());
    }
  }

  private static double progress(Planned p, long nowMs) {
    return nowMs >= p.fullMs()
        ? 1.0
        : (double) (nowMs - p.fromMs()) / Math.max(1L, p.fullMs() - p.fromMs());
  }
}
