// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.time.Instant;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.Band;
import opercle.analysis.farm.Tank;
import opercle.ingest.reading.Quantity;
import org.jspecify.annotations.Nullable;

/**
 * One tank at one instant: what its probes add up to. Made for the moment and thrown away. Not
 * thread-safe.
 */
final class TankNow {

  /** Peak demand over quiet demand after severe handling: Svendsen et al. 2012 found 3.7. */
  private static final double WORST_HANDLING = 3.0;

  /**
   * Nothing but a fall being known, the whole supply has failed three times in four (common
   * practice).
   */
  private static final double PERHAPS_LOST = 0.75;

  /** When a fall began is known no better than this (common practice). */
  private static final double ONSET_ERROR_SECONDS = 60.0;

  private static final double MEASURING_SECONDS = 300.0;
  private static final double MEASURING_ERRORS = 5.0;

  /** So long a probe that is level speaks against another's fall, or that share of the time. */
  private static final double LEVEL_SPEAKS_SECONDS = 180.0;

  private static final double LEVEL_SPEAKS_SHARE = 1.0 / 3.0;

  final Tank tank;
  final long now;
  private final Tank.Floors floors;
  private final Probes probes;
  private final Water water;
  private final @Nullable OxygenProbe speaking;
  private @Nullable TimeInHand asOxygenGoes;

  TankNow(Tank tank, Tank.Floors floors, Probes probes, Water water, long now) {
    this.tank = tank;
    this.floors = floors;
    this.probes = probes;
    this.water = water;
    this.now = now;
    this.speaking = probes.speaking(now);
  }

  Tank.Floors floors() {
    return floors;
  }

  Probes probes() {
    return probes;
  }

  Water water() {
    return water;
  }

  /** The oxygen probe that speaks for the tank; null where none does. */
  @Nullable OxygenProbe speaking() {
    return speaking;
  }

  OptionalDouble oxygenMgPerL() {
    return speaking == null ? OptionalDouble.empty() : OptionalDouble.of(speaking.trend.newest());
  }

  OptionalDouble saturationPercent() {
    OptionalDouble saturation = water.saturationMgPerL();
    return speaking == null || saturation.isEmpty()
        ? OptionalDouble.empty()
        : OptionalDouble.of(100.0 * speaking.trend.newest() / saturation.getAsDouble());
  }

  OptionalDouble temperatureC() {
    return probes.fresh(Quantity.TEMPERATURE, now);
  }

  OptionalDouble slopeMgPerLPerMin() {
    return speaking != null && speaking.hasSlope()
        ? OptionalDouble.of(speaking.slopePerMinute())
        : OptionalDouble.empty();
  }

  Optional<Instant> newestReading() {
    boolean any = false;
    long newest = 0;
    for (Probe p : probes.all()) {
      if (p.rhythm.hasSpoken() && (!any || p.rhythm.last() > newest)) {
        newest = p.rhythm.last();
        any = true;
      }
    }
    return any ? Optional.of(Micros.instant(newest)) : Optional.empty();
  }

  OptionalDouble gasFlow() {
    OptionalDouble sum = OptionalDouble.empty();
    for (Probe p : probes.flows()) {
      if (p.rhythm.isFresh(now)) {
        sum = OptionalDouble.of(sum.orElse(0.0) + p.value);
      }
    }
    return sum;
  }

  /** Time in hand as things go: as the oxygen does, or until the cylinder has no more to give. */
  TimeInHand asThingsGo() {
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
        Probes.anyStopped(probes.flows()) ? null : CylinderLeft.minutesToEmpty(this);
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

  private TimeInHand asOxygenGoes(OxygenProbe speaking, Expected expected) {
    double oxygen = speaking.waterMgPerL();
    double floor = floors.criticalMgPerL();
    if (!speaking.hasSlope() && oxygen > floor) {
      return new TimeInHand.Unknown("too few readings for a trend");
    }
    @Nullable Fall fall = speaking.fall;
    if (fall == null || oxygen <= floor) {
      return Outlook.asTheTrendGoes(
          oxygen, floor, speaking.slopePerMinute(), speaking.slopeErrorPerMinute(), expected);
    }
    return Outlook.asThingsGo(
        floor,
        fall.paths(speaking.trend.last(), speaking.noise(), expected),
        (Fall.LAG_SECONDS + Micros.seconds(now - speaking.trend.last())) / 60.0,
        expected);
  }

  /** What may be expected of a fall of this tank, whose supply is as likely lost as that. */
  private Expected expected(double lost) {
    @Nullable Band demand = water.demandMgPerLPerMin(tank);
    OptionalDouble saturation = water.saturationMgPerL();
    double supplyPerHour = Double.POSITIVE_INFINITY;
    if (demand != null && saturation.isPresent() && speaking != null) {
      double from = speaking.fall != null ? speaking.fall.fromMgPerL() : speaking.trend.newest();
      supplyPerHour =
          Expected.supplyPerHour(tank.supply().gas(), saturation.getAsDouble(), from, demand);
    }
    return Expected.of(tank.kind(), lost, supplyPerHour, water.demandByTheBooksMgPerLPerMin(tank));
  }

  /** Time in hand if gas stops, from the newest oxygen there is, however old. */
  TimeInHand ifGasStops() {
    @Nullable OxygenProbe p = speaking != null ? speaking : probes.lastSpeaking();
    if (p == null) {
      return unwatched();
    }
    if (!tank.isStocked()) {
      return new TimeInHand.Holding();
    }
    if (speaking != null && speaking.fall != null && isFromTheStop(speaking.fall)) {
      return asOxygenGoes(speaking); // it has stopped
    }
    @Nullable Band demand = water.demandMgPerLPerMin(tank);
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
            floors.criticalMgPerL(),
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
        diagnosis(p, false, false).supplyLost()
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

  TimeInHand unwatched() {
    if (probes.lastSpeaking() != null) {
      return new TimeInHand.Unknown("no oxygen reading of late");
    }
    return new TimeInHand.Unknown(
        probes.of(Quantity.OXYGEN_SATURATION).isEmpty()
            ? "no oxygen probe heard yet"
            : "oxygen comes in percent and there is no usable water temperature");
  }

  /**
   * The fall that the tank shows: the speaking probe's, else any trusted one's, and a sure one
   * before one that is suspected; null for none.
   */
  @Nullable OxygenProbe falling() {
    @Nullable OxygenProbe faller = null;
    if (speaking != null && speaking.fall != null) {
      faller = speaking;
    }
    for (OxygenProbe p : probes.oxygen()) {
      if (p.fall != null
          && (faller == null || (p.fall.sure() && !isSure(faller)))
          && probes.counts(p, now)) {
        faller = p;
      }
    }
    return faller;
  }

  /** The tank as it was when one of its oxygen probes was last heard; this, where none was. */
  TankNow whenOxygenWasLastHeard() {
    @Nullable OxygenProbe last = probes.lastSpeaking();
    return last == null ? this : new TankNow(tank, floors, probes, water, last.rhythm.last());
  }

  /** Whether a fall of the tank has been found, not only suspected. */
  boolean isSurelyFalling() {
    @Nullable OxygenProbe faller = falling();
    return faller != null && isSure(faller);
  }

  /**
   * Whether a suspected fall is told: its probe is heard, and either more than one reading shows it
   * or the load can breathe as fast. A lone reading that falls faster is a spike as a rule: telling
   * those took one call in each of 360 simulated quiet nights.
   */
  boolean isWorthTelling(OxygenProbe probe, Fall fall) {
    return probes.counts(probe, now)
        && (probe.showsFallTwice() || fall.firstRatePerMinute() <= fastestPerMinute());
  }

  private static boolean isSure(OxygenProbe probe) {
    @Nullable Fall fall = probe.fall;
    return fall != null && fall.sure();
  }

  /**
   * With the gas known to be off, the fall is the demand, less what the surface gives: (mg/L)/min.
   * Empty until it has lasted five minutes and is five times its error (mass balance notes).
   */
  OptionalDouble measuredDemand() {
    @Nullable OxygenProbe faller = falling();
    @Nullable Fall fall = faller == null ? null : faller.fall;
    OptionalDouble saturation = water.saturationMgPerL();
    if (faller == null
        || fall == null
        || saturation.isEmpty()
        || !isFromTheStop(fall)
        || Micros.seconds(now - fall.since()) < MEASURING_SECONDS
        || faller.slopePerMinute() + MEASURING_ERRORS * faller.slopeErrorPerMinute() >= 0.0) {
      return OptionalDouble.empty();
    }
    return OptionalDouble.of(
        -faller.slopePerMinute()
            + Outlook.surfacePerMinute(saturation.getAsDouble() - faller.waterMgPerL()));
  }

  /** Whether another trusted oxygen probe is heard and speaks against its fall. */
  boolean isLevelElsewhere(OxygenProbe faller) {
    boolean level = false;
    for (OxygenProbe p : probes.oxygen()) {
      if (p != faller && p.doubt() == ProbeDoubt.NONE && probes.counts(p, now)) {
        if (p.shows(faller.fall)) {
          return false;
        }
        level |= speaksAgainst(p, faller);
      }
    }
    return level;
  }

  /**
   * Whether a probe that is level is to be heard against another's fall. For so long only, unless
   * that would take hours to the floor: that it sees at all is not proven by its being level, and
   * one lying channel must not settle it.
   */
  private boolean speaksAgainst(OxygenProbe level, OxygenProbe faller) {
    @Nullable Fall fall = faller.fall;
    if (level.wasDoubtedOfLate()) {
      return false;
    }
    if (fall == null
        || !(asOxygenGoes(faller, expected(PERHAPS_LOST)) instanceof TimeInHand.Minutes time)) {
      return true;
    }
    double likely = time.minutes().likely();
    double most = Math.min(LEVEL_SPEAKS_SECONDS, 60.0 * LEVEL_SPEAKS_SHARE * likely);
    return likely >= Urgency.CAN_WAIT_MINUTES || Micros.seconds(now - fall.since()) < most;
  }

  /** Whether another trusted oxygen probe is heard and surely falls too. */
  boolean isFallingElsewhere(OxygenProbe faller) {
    for (OxygenProbe p : probes.oxygen()) {
      if (p != faller && isSure(p) && p.doubt() == ProbeDoubt.NONE && probes.counts(p, now)) {
        return true;
      }
    }
    return false;
  }

  /** How likely it is that the fall which the tank shows comes of a lost supply; 0 without one. */
  double supplyLost(boolean temperatureMoved, boolean loggedEvent) {
    @Nullable OxygenProbe faller = falling();
    return faller == null ? 0.0 : diagnosis(faller, temperatureMoved, loggedEvent).supplyLost();
  }

  /** What may be behind that fall. */
  Diagnosis diagnosis(OxygenProbe faller, boolean temperatureMoved, boolean loggedEvent) {
    @Nullable Fall fall = faller.fall;
    int others = 0;
    int othersFall = 0;
    for (OxygenProbe p : probes.oxygen()) {
      if (p != faller && p.doubt() == ProbeDoubt.NONE && probes.counts(p, now)) {
        boolean too = p.shows(fall);
        othersFall += too ? 1 : 0;
        others += too || speaksAgainst(p, faller) ? 1 : 0;
      }
    }
    @Nullable Band demand = water.demandMgPerLPerMin(tank);
    return Diagnosis.of(
        new Diagnosis.Evidence(
            meters().flow(),
            meters().pressure(),
            others,
            othersFall,
            temperatureMoved,
            loggedEvent,
            fall != null && fall.bends(faller.trend, faller.noise()),
            demand == null ? Double.NaN : -faller.slopePerMinute() / demand.likely(),
            faller.slopeErrorPerMinute() / Math.abs(faller.slopePerMinute()),
            fall == null ? 0.0 : fall.dropMgPerL()),
        tank.supply().source());
  }

  /** Gas against what is normal, by the meters; the lowest counts. */
  TankChecks.Supply supply() {
    return meters().supply();
  }

  /** Whether no meter speaks for a gas that is lost, or goes another way than it should. */
  boolean isGasAsUsual() {
    return meters().showNothingUnusual();
  }

  private MetersNow meters() {
    return new MetersNow(probes, now);
  }

  /**
   * The fastest fall that the load can breathe, (mg/L)/min: the high bound of its quiet demand,
   * times what the worst handling does to it (3 to 4 times, stock notes). Without a known demand
   * nothing is too fast.
   */
  double fastestPerMinute() {
    @Nullable Band demand = water.demandMgPerLPerMin(tank);
    return demand == null ? Double.POSITIVE_INFINITY : WORST_HANDLING * demand.high();
  }
}
