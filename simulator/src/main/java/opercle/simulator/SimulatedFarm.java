// SPDX-License-Identifier: Apache-2.0
package opercle.simulator;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.OptionalDouble;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.ingest.reading.Reading;
import opercle.simulator.physics.Blower;
import opercle.simulator.physics.Chance;
import opercle.simulator.physics.TankPhysics;
import opercle.simulator.physics.TankTraits;
import opercle.simulator.physics.Weather;
import opercle.simulator.probe.Fittings;
import opercle.simulator.probe.Instruments;
import opercle.simulator.probe.ProbeLink;

/**
 * A farm that lives in simulated time. The same farm, scenario, seed and start give the same
 * readings to the digit, however the time is cut into calls. Pure: reads no clock. One thread only.
 */
public final class SimulatedFarm {

  private static final long STEP_MS = 1000L;
  private static final double STEP_SECONDS = 1.0;

  /** Fright of a load that was just put in, times routine demand, and how it fades. */
  private static final double LOADING_STRESS_LEAST = 1.5;

  private static final double LOADING_STRESS_MOST = 2.5;

  private static final long FRIGHT_FORGOTTEN_SECONDS = 12 * 3600L;

  /** Gives a tank its instruments. */
  @FunctionalInterface
  public interface FittingRule {
    /**
     * The instruments of a tank.
     *
     * @param tank which
     * @param index its place in the farm description
     */
    Fittings of(Tank tank, int index);
  }

  private final Farm farm;
  private final Scenario scenario;
  private final Weather weather;
  private final Blower blower;
  private final List<TankRig> rigs = new ArrayList<>();
  private long secondMs; // start of the second that the physics stands at
  private long nowMs;

  /** A farm with the usual instruments. */
  public SimulatedFarm(Farm farm, Scenario scenario, long seed, Instant start) {
    this(farm, scenario, seed, start, Fittings::usual);
  }

  /**
   * A farm, settled at its start.
   *
   * @param farm its tanks
   * @param scenario what will happen
   * @param seed draws everything that is left open
   * @param start when the run starts, simulated time
   * @param fittings which instruments each tank has
   * @throws IllegalArgumentException if the scenario needs a tank that the farm does not have
   */
  public SimulatedFarm(
      Farm farm, Scenario scenario, long seed, Instant start, FittingRule fittings) {
    this(farm, scenario, seed, start, fittings, Setup.USUAL);
  }

  SimulatedFarm(
      Farm farm, Scenario scenario, long seed, Instant start, FittingRule fittings, Setup setup) {
    this.farm = farm;
    this.scenario = scenario;
    nowMs = start.toEpochMilli();
    secondMs = nowMs;
    weather =
        new Weather(
            start.minusSeconds(setup.warmUpSeconds()),
            farm.altitudeM(),
            Chance.of(seed, "weather"));
    double blowerLPerMin = 0.0;
    for (int i = 0; i < farm.tanks().size(); i++) {
      Tank tank = farm.tanks().get(i);
      long tankSeed = Chance.of(seed, "tank/" + tank.id()).nextLong();
      TankTraits traits =
          setup.traits().apply(TankTraits.draw(tank, weather, Chance.of(tankSeed, "traits")));
      TankPhysics physics = new TankPhysics(tank, weather, traits, tankSeed);
      Instruments instruments = new Instruments(tank, fittings.of(tank, i), nowMs, tankSeed);
      rigs.add(new TankRig(physics, instruments));
      if (tank.supply().source() == Tank.Source.BLOWER) {
        blowerLPerMin += tank.supply().flowLPerMin();
      }
    }
    blower = new Blower(Math.max(1.0, blowerLPerMin));
    plan(start);
    settle(start, seed, setup.warmUpSeconds());
  }

  private void plan(Instant start) {
    for (Happening h : scenario.happenings()) {
      List<Tank> met = h.where().in(farm);
      if (met.isEmpty()) {
        throw new IllegalArgumentException(
            "scenario %s: farm %s has no tank for %s %s"
                .formatted(scenario.name(), farm.name(), h.kind(), h.where()));
      }
      for (TankRig rig : rigs) {
        if (met.contains(rig.physics.tank())) {
          rig.plan(h, start.toEpochMilli());
        }
      }
    }
  }

  /** Fish that a load frightened before the start: how much, and when, s before the start. */
  private record Fright(TankRig rig, double multiple, double fadeHours, long secondsAgo) {}

  /** Lives through the hours before the start; loads that came in lately are still frightened. */
  private void settle(Instant start, long seed, int warmUpSeconds) {
    List<Fright> frights = frights(start, Chance.of(seed, "loading"));
    for (Fright fright : frights) {
      long hadSeconds = fright.secondsAgo() - warmUpSeconds;
      if (hadSeconds > 0) {
        double left = Math.exp(-hadSeconds / 3600.0 / fright.fadeHours());
        fright
            .rig()
            .physics
            .fish()
            .stress(1.0 + (fright.multiple() - 1.0) * left, fright.fadeHours());
      }
    }
    for (int left = warmUpSeconds; left > 0; left--) {
      for (Fright fright : frights) {
        if (fright.secondsAgo() == left) {
          fright.rig().physics.fish().stress(fright.multiple(), fright.fadeHours());
        }
      }
      stepPhysics();
    }
    rigs.forEach(rig -> rig.instruments.follow(STEP_SECONDS, rig.physics, weather));
  }

  private List<Fright> frights(Instant start, Chance chance) {
    List<Fright> frights = new ArrayList<>();
    for (TankRig rig : rigs) {
      for (Tank.Load load : rig.physics.tank().loads()) {
        double fadeHours = chance.between(0.5, 1.5);
        double multiple = chance.between(LOADING_STRESS_LEAST, LOADING_STRESS_MOST);
        load.since()
            .map(since -> Duration.between(since, start).toSeconds())
            .filter(ago -> ago > 0 && ago < FRIGHT_FORGOTTEN_SECONDS)
            .ifPresent(ago -> frights.add(new Fright(rig, multiple, fadeHours, ago)));
      }
    }
    return frights;
  }

  /** The farm that is simulated. */
  public Farm farm() {
    return farm;
  }

  /** What happens in this run. */
  public Scenario scenario() {
    return scenario;
  }

  /** The instant up to which readings have been given out, simulated time. */
  public Instant now() {
    return Instant.ofEpochMilli(nowMs);
  }

  /**
   * Lets time pass and gives what arrived from the probes meanwhile.
   *
   * @param to until when, simulated time; an instant that has passed gives nothing
   * @return readings in order of arrival, which on a healthy link is the order of their times
   */
  public List<Reading> advance(Instant to) {
    long toMs = to.toEpochMilli();
    List<ProbeLink.Delivery> deliveries = new ArrayList<>();
    while (nowMs < toMs) {
      if (nowMs == secondMs) {
        rigs.forEach(rig -> rig.direct(nowMs, weather));
      }
      long until = Math.min(toMs, secondMs + STEP_MS);
      for (TankRig rig : rigs) {
        rig.instruments.speakBefore(until);
        rig.instruments.link().deliverBefore(until, deliveries);
      }
      nowMs = until;
      if (nowMs == secondMs + STEP_MS) {
        stepPhysics();
        rigs.forEach(rig -> rig.instruments.follow(STEP_SECONDS, rig.physics, weather));
        secondMs = nowMs;
      }
    }
    deliveries.sort(Comparator.comparingLong(ProbeLink.Delivery::arrivalMs));
    List<Reading> readings = new ArrayList<>(deliveries.size());
    for (ProbeLink.Delivery delivery : deliveries) {
      readings.add(delivery.reading());
    }
    return readings;
  }

  private void stepPhysics() {
    weather.step(STEP_SECONDS);
    double taken = 0.0;
    boolean stopped = false;
    for (TankRig rig : rigs) {
      if (rig.physics.tank().supply().source() == Tank.Source.BLOWER) {
        taken += rig.physics.line().meterLPerMin();
      }
      stopped |= rig.stopsBlower();
    }
    blower.run(!stopped);
    blower.step(STEP_SECONDS, taken);
    for (TankRig rig : rigs) {
      rig.physics.step(STEP_SECONDS, weather, blower.pressureShare());
    }
  }

  /**
   * What is really so in a tank now.
   *
   * @throws IllegalArgumentException if the farm has no such tank
   */
  public TankTruth truth(String tank) {
    TankPhysics p = rig(tank).physics;
    double lowest = Math.min(p.oxygenAt(0), Math.min(p.oxygenAt(1), p.oxygenAt(2)));
    return new TankTruth(
        tank,
        now(),
        p.meanOxygenMgPerL(),
        lowest,
        p.temperatureC(),
        p.line().diffuserLPerMin(),
        p.fish().kg());
  }

  /**
   * How long until the whole tank's oxygen is at a level, if all goes on as it is now: the physics
   * is copied and run ahead, without what the scenario still has in store.
   *
   * @param tank the tank's id
   * @param floorMgPerL the level, mg/L
   * @param gasStops whether the supply ends now
   * @param horizon how far to look
   * @return minutes; empty if the level is not reached within the horizon
   */
  public OptionalDouble minutesToFloor(
      String tank, double floorMgPerL, boolean gasStops, Duration horizon) {
    TankPhysics ahead = rig(tank).physics.copy();
    Weather weatherAhead = weather.copy();
    Blower blowerAhead = blower.copy();
    double taken = 0.0;
    for (TankRig rig : rigs) {
      if (rig.physics.tank().supply().source() == Tank.Source.BLOWER) {
        taken += rig.physics.line().meterLPerMin();
      }
    }
    if (gasStops) {
      ahead.line().turnValve(0.0);
    }
    for (long s = 0; s <= horizon.toSeconds(); s++) {
      if (ahead.meanOxygenMgPerL() <= floorMgPerL) {
        return OptionalDouble.of(s / 60.0);
      }
      weatherAhead.step(STEP_SECONDS);
      blowerAhead.step(STEP_SECONDS, taken);
      ahead.step(STEP_SECONDS, weatherAhead, blowerAhead.pressureShare());
    }
    return OptionalDouble.empty();
  }

  private TankRig rig(String tank) {
    return rigs.stream()
        .filter(r -> r.physics.tank().id().equals(tank))
        .findFirst()
        .orElseThrow(
            () ->
                new IllegalArgumentException(
                    "farm %s has no tank \"%s\"".formatted(farm.name(), tank)));
  }
}
