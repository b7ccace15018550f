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
  private final TimesInHand times;

  TankNow(Tank tank, Tank.Floors floors, Probes probes, Water water, long now) {
    this.tank = tank;
    this.floors = floors;
    this.probes = probes;
    this.water = water;
    this.now = now;
    this.speaking = probes.speaking(now);
    this.times = new TimesInHand(this);
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
    return times.asThingsGo();
  }

  /** Time in hand if gas stops, from the newest oxygen there is, however old. */
  TimeInHand ifGasStops() {
    return times.ifGasStops();
  }

  /** The two, whichever is shorter: for a tank whose supply is lost. */
  TimeInHand supplyLost() {
    return times.supplyLost();
  }

  TimeInHand unwatched() {
    return times.unwatched();
  }

  /** Whether the meter has seen the gas stop, and this fall is what came of it. */
  boolean isFromTheStop(Fall fall) {
    return times.isFromTheStop(fall);
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
    if (fall == null || !(times.asItFalls(faller) instanceof TimeInHand.Minutes time)) {
      return true;
    }
    double likely = time.minutes().likely();
    double most = Math.min(LEVEL_SPEAKS_SECONDS, 60.0 * LEVEL_SPEAKS_SHARE * likely);
    return likely >= Urgency.CAN_WAIT_MINUTES || Micros.seconds(now - fall.since()) < most;
  }

  /** Whether another trusted oxygen probe is heard and surely falls too. */
  boolean isFallingElsewhere(OxygenProbe faller) {
    return probes.oxygen().stream().anyMatch(p -> p != faller && isTrustedFaller(p));
  }

  /** Whether a trusted oxygen probe that has long heard its water surely falls. */
  boolean isFallingInKnownWater() {
    return probes.oxygen().stream().anyMatch(p -> !p.isInStrangeWater() && isTrustedFaller(p));
  }

  private boolean isTrustedFaller(OxygenProbe p) {
    return isSure(p) && p.doubt() == ProbeDoubt.NONE && probes.counts(p, now);
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
