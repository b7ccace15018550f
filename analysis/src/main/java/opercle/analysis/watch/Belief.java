// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import opercle.analysis.watch.TankChecks.Supply;
import opercle.analysis.watch.TankChecks.Trust;
import opercle.ingest.reading.Quantity;

/**
 * What the watch makes of each oxygen probe and of each meter in the gas line of a tank, and why:
 * the evidence for what it believes, also while no alarm stands. A value.
 *
 * @param probes that tell oxygen, one that repeats another left out
 * @param meters of flow and of pressure in the line
 */
public record Belief(List<OfProbe> probes, List<OfMeter> meters) {

  /** Nothing can be told. */
  public static final Belief NOT_KNOWN = new Belief(List.of(), List.of());

  private static final double LATE_SECONDS = ProbeHealth.DOUBTED_OF_LATE_SECONDS;

  public Belief {
    probes = List.copyOf(probes);
    meters = List.copyOf(meters);
  }

  /**
   * One oxygen probe.
   *
   * @param probe its name
   * @param trust {@link Trust#NONE} where it is silent
   * @param why what speaks against it, for a sentence that begins with the probe; empty where
   *     nothing does
   * @param at its newest reading
   * @param doubtedAt since when it is doubted; of one that is trusted, when something spoke against
   *     it last, if that was within the last three hours
   */
  public record OfProbe(
      String probe, Trust trust, Optional<String> why, Instant at, Optional<Instant> doubtedAt) {}

  /**
   * One meter in the gas line.
   *
   * @param measures what
   * @param probe its name
   * @param value its newest reading: flow in L/min at 15 °C and 101.325 kPa, pressure in bar gauge
   * @param usual what is normal for it, in the same unit; 0 where that is not known
   * @param says {@link Supply#NOT_MEASURED} where it is silent, {@link Supply#UNKNOWN} where it
   *     repeats one value or what is normal for it is not known
   * @param at its newest reading
   * @param since when it began to show no gas, where it says that
   */
  public record OfMeter(
      Measures measures,
      String probe,
      double value,
      double usual,
      Supply says,
      Instant at,
      Optional<Instant> since) {}

  /** What a meter in the gas line measures. */
  public enum Measures {
    FLOW,
    PRESSURE;

    /** The word in JSON. */
    public String id() {
      return name().toLowerCase(Locale.ROOT);
    }
  }

  static Belief of(TankNow tank) {
    List<OfProbe> probes = new ArrayList<>();
    for (OxygenProbe p : tank.probes().oxygen()) {
      if (p.rhythm.hasSpoken() && !tank.probes().repeatsFreshProbe(p, tank.now)) {
        probes.add(probe(p, tank.now));
      }
    }
    List<OfMeter> meters = new ArrayList<>();
    tank.probes().flows().forEach(p -> add(meters, p, tank.now));
    tank.probes().pressures().forEach(p -> add(meters, p, tank.now));
    return new Belief(probes, meters);
  }

  private static OfProbe probe(OxygenProbe p, long now) {
    ProbeDoubt doubt = p.doubt();
    Trust trust =
        !p.rhythm.isFresh(now)
            ? Trust.NONE
            : doubt == ProbeDoubt.NONE ? Trust.TRUSTED : Trust.DOUBTED;
    double seconds = p.doubtedForSeconds();
    return new OfProbe(
        p.name,
        trust,
        doubt == ProbeDoubt.NONE ? Optional.empty() : Optional.of(p.doubtWords()),
        Micros.instant(p.rhythm.last()),
        seconds < LATE_SECONDS || (doubt != ProbeDoubt.NONE && Double.isFinite(seconds))
            ? Optional.of(Micros.instant(p.rhythm.last()).minusMillis(Math.round(1e3 * seconds)))
            : Optional.empty());
  }

  private static void add(List<OfMeter> meters, MeterProbe p, long now) {
    if (p.rhythm.hasSpoken()) {
      Supply says = says(p, now);
      meters.add(
          new OfMeter(
              p.quantity == Quantity.GAS_FLOW ? Measures.FLOW : Measures.PRESSURE,
              p.name,
              p.value,
              p.meter.normalLPerMin(),
              says,
              Micros.instant(p.rhythm.last()),
              says == Supply.STOPPED
                  ? Optional.of(Micros.instant(p.meter.lowSince()))
                  : Optional.empty()));
    }
  }

  private static Supply says(MeterProbe p, long now) {
    if (p.meter.hasStopped()) {
      return Supply.STOPPED;
    }
    if (!p.rhythm.isFresh(now)) {
      return Supply.NOT_MEASURED;
    }
    return p.isStuck() || p.meter.normalLPerMin() <= 0.0
        ? Supply.UNKNOWN
        : p.quantity == Quantity.GAS_FLOW ? MetersNow.byFlow(p) : MetersNow.byPressure(p);
  }
}
