// SPDX-License-Identifier: Apache-2.0
package opercle.simulator.probe;

import java.util.ArrayList;
import java.util.List;
import opercle.analysis.farm.Tank;
import opercle.analysis.water.BensonKrause1984;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import opercle.simulator.physics.Chance;
import opercle.simulator.physics.TankPhysics;
import opercle.simulator.physics.Weather;
import org.jspecify.annotations.Nullable;

/** All the instruments of one tank, and the link they talk over. One thread only. */
public final class Instruments {

  /** Droplets on the face: 100 % in air reads as about 102 % (read: laboratory manual). */
  private static final double AIR_READS = 1.02;

  private final List<SimulatedProbe> probes = new ArrayList<>();
  private final ProbeLink link;
  private final boolean fedWithOxygen;

  /** Instruments that start to speak at an instant. */
  public Instruments(Tank tank, Fittings fittings, long startMs, long seed) {
    link = new ProbeLink(Chance.of(seed, "link"));
    fedWithOxygen = tank.supply().gas() == Tank.Gas.OXYGEN;
    for (int i = 1; i <= fittings.oxygenProbes(); i++) {
      Chance chance = Chance.of(seed, "oxygen/" + i);
      add(tank, Quantity.OXYGEN, i, ProbeTraits.oxygen(fittings, chance), startMs, chance);
    }
    Chance chance = Chance.of(seed, "temperature");
    add(tank, Quantity.TEMPERATURE, 1, ProbeTraits.temperature(chance), startMs, chance);
    if (fittings.flowMeter()) {
      chance = Chance.of(seed, "gas-flow");
      ProbeTraits traits = ProbeTraits.gasFlow(tank.supply(), fittings, chance);
      add(tank, Quantity.GAS_FLOW, 1, traits, startMs, chance);
    }
    if (fittings.linePressure()) {
      chance = Chance.of(seed, "line-pressure");
      ProbeTraits traits = ProbeTraits.linePressure(fittings, chance);
      add(tank, Quantity.LINE_PRESSURE, 1, traits, startMs, chance);
    }
    if (fittings.cylinderGauge() && tank.supply().source() == Tank.Source.CYLINDER) {
      chance = Chance.of(seed, "cylinder-pressure");
      ProbeTraits traits = ProbeTraits.cylinderPressure(chance);
      add(tank, Quantity.CYLINDER_PRESSURE, 1, traits, startMs, chance);
    }
  }

  private void add(
      Tank tank, Quantity quantity, int number, ProbeTraits traits, long startMs, Chance chance) {
    Series series = new Series(tank.id(), quantity, Integer.toString(number));
    probes.add(new SimulatedProbe(series, traits, startMs, chance));
  }

  /** The probes, oxygen first. */
  public List<SimulatedProbe> probes() {
    return List.copyOf(probes);
  }

  /** The link they talk over. */
  public ProbeLink link() {
    return link;
  }

  /** Hands readings that are due before an instant to the link, the earliest first. */
  public void speakBefore(long untilMs) {
    for (SimulatedProbe next = earliest();
        next != null && next.nextDueMs() < untilMs;
        next = earliest()) {
      long dueMs = next.nextDueMs();
      @Nullable Reading reading = next.speak();
      if (reading != null) {
        link.take(reading, dueMs, next.dialect());
      }
    }
  }

  private @Nullable SimulatedProbe earliest() {
    SimulatedProbe earliest = null;
    for (SimulatedProbe probe : probes) {
      if (earliest == null || probe.nextDueMs() < earliest.nextDueMs()) {
        earliest = probe;
      }
    }
    return earliest;
  }

  /** Follows the truth for a step. */
  public void follow(double seconds, TankPhysics tank, Weather weather) {
    double waterC = tank.temperatureC();
    for (SimulatedProbe probe : probes) {
      probe.follow(seconds, truthFor(probe, tank, weather), waterC);
    }
  }

  private double truthFor(SimulatedProbe probe, TankPhysics tank, Weather weather) {
    ProbeTrouble trouble = probe.trouble();
    return switch (probe.series().quantity()) {
      case OXYGEN -> {
        if (trouble.isInAir()) {
          yield AIR_READS * airSaturation(weather);
        }
        int place = probe.series().probe().equals("1") ? 0 : 1;
        if (trouble.isInBubble()) {
          // limit for pure oxygen 477 % of air saturation; a bubble ages and wets unevenly
          double share = fedWithOxygen ? 3.5 : 1.0;
          yield share * tank.airSaturationMgPerL();
        }
        yield tank.oxygenPassing(place);
      }
      case TEMPERATURE -> trouble.isInAir() ? airC(tank, weather) : tank.temperatureC();
      case GAS_FLOW -> tank.line().meterLPerMin();
      case LINE_PRESSURE -> tank.line().lineBar();
      case CYLINDER_PRESSURE -> tank.supply().cylinderBar().orElse(0.0);
      default ->
          throw new IllegalStateException(
              "no simulated probe measures " + probe.series().quantity().id());
    };
  }

  private static double airC(TankPhysics tank, Weather weather) {
    return tank.tank().kind() == Tank.Kind.HOLDING ? weather.shedC() : weather.outdoorC();
  }

  private static double airSaturation(Weather weather) {
    double c = Math.max(0.0, Math.min(40.0, weather.shedC()));
    return new BensonKrause1984().saturationMgPerL(c, 0.0, weather.pressureKPa());
  }
}
