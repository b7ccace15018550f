// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.util.OptionalDouble;
import opercle.analysis.Band;
import opercle.ingest.reading.Quantity;
import org.jspecify.annotations.Nullable;

/**
 * The two times in hand of one tank at one instant: which estimate answers for what its probes and
 * its load tell. Not thread-safe.
 */
final class TimesInHand {

  /**
   * Nothing but a fall being known, the whole supply has failed three times in four (common
   * practice).
   */
  private static final double PERHAPS_LOST = 0.75;

  /** When a fall began is known no better than this (common practice). */
  private static final double ONSET_ERROR_SECONDS = 60.0;

  private final TankNow here;
  private final Probes probes;
  private final Water water;
  private @Nullable TimeInHand asOxygenGoes;

  TimesInHand(TankNow here) {
    this.here = here;
    this.probes = here.probes();
    this.water = here.water();
  }

  /** Time in hand as things go: as the oxygen does, or until the cylinder has no more to give. */
  TimeInHand asThingsGo() {
    @Nullable OxygenProbe speaking = here.speaking();
    if (speaking == null) {
      return unwatched();
    }
    TimeInHand byOxygen = asOxygenGoes(speaking);
    return byOxygen instanceof TimeInHand.Unknown
        ? byOxygen
        : Outlook.shorter(byOxygen, asCylinderGoes());
  }

  private TimeInHand asCylinderGoes() {
    @Nullable Band empty =
        Probes.anyStopped(probes.flows()) ? null : CylinderLeft.minutesToEmpty(here);
    if (empty == null || !(ifGasStops() instanceof TimeInHand.Minutes without)) {
      return new TimeInHand.Holding();
    }
    Band sum = empty.plus(without.minutes());
    return sum.likely() >= Outlook.HORIZON_MINUTES
        ? new TimeInHand.Holding()
        : new TimeInHand.Minutes(sum);
  }

  /** Asked by every finding, and not cheap. */
  private TimeInHand asOxygenGoes(OxygenProbe speaking) {
    TimeInHand known = asOxygenGoes;
    if (known == null) {
      boolean stopped = Probes.anyStopped(probes.flows()) || Probes.anyStopped(probes.pressures());
      known = asOxygenGoes(speaking, expected(stopped ? 1.0 : PERHAPS_LOST));
      asOxygenGoes = known;
    }
    return known;
  }

  /** As the fall of any of its probes goes, whatever the meters say. */
  TimeInHand asItFalls(OxygenProbe faller) {
    return asOxygenGoes(faller, expected(PERHAPS_LOST));
  }

  private TimeInHand asOxygenGoes(OxygenProbe probe, Expected expected) {
    double oxygen = probe.waterMgPerL();
    double floor = here.floors().criticalMgPerL();
    if (!probe.hasSlope() && oxygen > floor) {
      return new TimeInHand.Unknown("too few readings for a trend");
    }
    @Nullable Fall fall = probe.fall;
    if (fall == null || oxygen <= floor) {
      return Outlook.asTheTrendGoes(
          oxygen, floor, probe.slopePerMinute(), probe.slopeErrorPerMinute(), expected);
    }
    return Outlook.asThingsGo(
        floor,
        fall.paths(probe.trend.last(), probe.noise(), expected),
        (Fall.LAG_SECONDS + Micros.seconds(here.now - probe.trend.last())) / 60.0,
        expected);
  }

  /** What may be expected of a fall of this tank, whose supply is as likely lost as that. */
  private Expected expected(double lost) {
    @Nullable Band demand = water.demandMgPerLPerMin(here.tank);
    OptionalDouble saturation = water.saturationMgPerL();
    @Nullable OxygenProbe speaking = here.speaking();
    double supplyPerHour = Double.POSITIVE_INFINITY;
    if (demand != null && saturation.isPresent() && speaking != null) {
      double from = speaking.fall != null ? speaking.fall.fromMgPerL() : speaking.trend.newest();
      supplyPerHour =
          Expected.supplyPerHour(here.tank.supply().gas(), saturation.getAsDouble(), from, demand);
    }
    return Expected.of(
        here.tank.kind(), lost, supplyPerHour, water.demandByTheBooksMgPerLPerMin(here.tank));
  }

  /** Time in hand if gas stops, from the newest oxygen there is, however old. */
  TimeInHand ifGasStops() {
    @Nullable OxygenProbe speaking = here.speaking();
    @Nullable OxygenProbe p = speaking != null ? speaking : probes.lastSpeaking();
    if (p == null) {
      return unwatched();
    }
    if (!here.tank.isStocked()) {
      return new TimeInHand.Holding();
    }
    if (speaking != null && speaking.fall != null && isFromTheStop(speaking.fall)) {
      return asOxygenGoes(speaking); // it has stopped
    }
    @Nullable Band demand = water.demandMgPerLPerMin(here.tank);
    OptionalDouble saturation = water.saturationMgPerL();
    if (demand == null || saturation.isEmpty()) {
      return new TimeInHand.Unknown(
          water.temperatureC().isPresent()
              ? "water temperature outside what the formulas hold for"
              : "no water temperature");
    }
    TimeInHand stopped =
        Outlook.ifGasStops(
            p.waterMgPerL(),
            here.floors().criticalMgPerL(),
            saturation.getAsDouble(),
            demand,
            expected(1.0));
    @Nullable Fall fall = p.fall;
    return p == speaking && fall != null ? whileFalling(p, fall, stopped) : stopped;
  }

  /**
   * If gas stops, while oxygen falls: where that fall is the lost supply, it goes on as such a one
   * does; else oxygen falls no slower without gas than it does now. Between the two by the odds.
   */
  private TimeInHand whileFalling(OxygenProbe p, Fall fall, TimeInHand stopped) {
    Expected maybe = expected(PERHAPS_LOST);
    double lost =
        here.diagnosis(p, false, false).supplyLost()
            * Outlook.whollyLost(fall.paths(p.trend.last(), p.noise(), maybe), maybe);
    return Outlook.between(
        Outlook.shorter(asOxygenGoes(p), stopped), asOxygenGoes(p, expected(1.0)), lost);
  }

  /** Whether the meter has seen the gas stop, and this fall is what came of it. */
  boolean isFromTheStop(Fall fall) {
    for (MeterProbe p : probes.flows()) {
      if (p.meter.hasStopped()
          && fall.sure()
          && Micros.seconds(fall.since() - p.meter.lowSince()) >= -ONSET_ERROR_SECONDS) {
        return true;
      }
    }
    return false;
  }

  /** The two, whichever is shorter: for a tank whose supply is lost. */
  TimeInHand supplyLost() {
    TimeInHand a = asThingsGo();
    TimeInHand b = ifGasStops();
    if (a instanceof TimeInHand.Minutes m && b instanceof TimeInHand.Minutes n) {
      return m.minutes().likely() <= n.minutes().likely() ? a : b;
    }
    return a instanceof TimeInHand.Minutes ? a : b;
  }

  /** Why nothing can be said while no oxygen probe is heard. */
  TimeInHand unwatched() {
    if (probes.lastSpeaking() != null) {
      return new TimeInHand.Unknown("no oxygen reading of late");
    }
    return new TimeInHand.Unknown(
        probes.of(Quantity.OXYGEN_SATURATION).isEmpty()
            ? "no oxygen probe heard yet"
            : "oxygen comes in percent and there is no usable water temperature");
  }
}
