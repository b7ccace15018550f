// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import opercle.analysis.farm.Tank;
import opercle.ingest.reading.Quantity;
import org.jspecify.annotations.Nullable;

/**
 * One oxygen probe: its level against the floors, its trend, whether it shows a fall, and whether
 * it is to be trusted. All in mg/L; a probe that measures percent is converted before. Not
 * thread-safe.
 */
final class OxygenProbe extends Probe {

  /** From this evidence on another probe counts as falling too, standard deviations. */
  private static final double SUSPICION = 2.0;

  /** Zones of one tank differ, and probes lag, but not by more than this (common practice). */
  private static final double SAME_FALL_SHARE = 0.25;

  /** A fall of which the temperatures explain this much is no fall. */
  private static final double WARMED_SHARE = 0.6;

  /** After a longer gap the level is taken anew: who knows what happened in it. */
  private static final double LONG_GAP_SECONDS = 600.0;

  private static final double LONG_GAP_INTERVALS = 10.0;

  /** Readings no further apart are of one level (common practice). */
  private static final double SAME_LEVEL_MG_PER_L = 0.25;

  private static final double SECOND_LOOKS_SECONDS = 3600.0;

  /** Back in the water from air, it may come down from there for so long (common practice). */
  private static final double SETTLES_AFTER_AIR_SECONDS = 1800.0;

  private static final long NEVER = Long.MIN_VALUE;

  /** The present trend: a minute or so. */
  Trend trend = Trend.NOT_HEARD;

  OxygenLevel level = OxygenLevel.NOT_HEARD;

  /** The fall that goes on now, or is suspected to; null where none does. */
  @Nullable Fall fall;

  /** When the temperature beside it last stood stepped. */
  private long disturbedAt = NEVER;

  /** When a fall across such a step was last sent back for a second look. */
  private long secondLookAt = NEVER;

  /** A line through all readings at this level, whose memory grows with it. */
  private Trend line = Trend.NOT_HEARD;

  private long lineSince;

  private AirLevel air = AirLevel.NOT_HEARD;

  /** How its oxygen follows a timer; only where the gas has one. */
  SawTooth saw = SawTooth.NOT_HEARD;

  private FallDetector detector = new FallDetector();
  private ProbeHealth health = new ProbeHealth();

  OxygenProbe(Quantity quantity, String name) {
    super(quantity, name);
  }

  /**
   * Takes a reading.
   *
   * @param water what is known of the water
   */
  void accept(long time, double mgPerL, Tank.Floors floors, Water water) {
    double temperatureC = water.temperatureAsToldC().orElse(Double.NaN);
    double dt = trend.samples() == 0 ? 0.0 : Micros.seconds(time - trend.last());
    double interval = rhythm.intervalSeconds();
    trend = trend.next(time, mgPerL, Trend.shortMemorySeconds(interval));
    level = level.next(mgPerL, floors);
    if (leavesAir(dt, mgPerL, water)) {
      health.comesBack();
      detector.startAgain(mgPerL);
    }
    @Nullable Fall going = fall != null && fall.sure() ? fall : null;
    fall = going;
    if (going == null && dt > Math.max(LONG_GAP_SECONDS, LONG_GAP_INTERVALS * interval)) {
      detector.startAgain(mgPerL);
      line = Trend.NOT_HEARD;
      return;
    }
    if (going != null) {
      going = going.next(time, mgPerL, trend, detector.noise(), floors.keepMgPerL());
      if (going.ended()) {
        detector.startAgain(mgPerL);
        line = Trend.NOT_HEARD;
        going = null;
      }
      fall = going;
      return;
    }
    double saturation = water.saturationAt(temperatureC);
    switch (health.disturbance(dt, mgPerL, detector.level(), temperatureC, saturation, interval)) {
      case PRESENT -> {
        disturbedAt = time;
        detector.skip(dt);
      }
      case OVER -> detector.startAgain(mgPerL);
      case NONE -> {
        detector.accept(dt, mgPerL, interval, temperatureC, health.makesSense());
        follow(time, mgPerL);
        if (health.accept(dt, mgPerL, detector, temperatureC)) {
          detector.startAgain(mgPerL);
        } else if (detector.detects() && health.believesFallTo(trend.fitted())) {
          foundFall(time, mgPerL, water);
        } else if (detector.suspects()
            && !health.expectsStep()
            && health.believesFallTo(trend.fitted())) {
          suspectFall(time, mgPerL, water);
        }
      }
    }
  }

  /** Whether it stood in air until now. */
  private boolean leavesAir(double dt, double mgPerL, Water water) {
    double inAir = water.saturationMgPerL().orElse(Double.NaN);
    boolean was = air.stay().isInAir();
    air = air.next(dt, mgPerL / inAir, detector.noise() / inAir, health.expectsStep());
    return was && !air.stay().isInAir();
  }

  /** The detector's start is the line's too, unless the readings went on as the line has it. */
  private void follow(long time, double mgPerL) {
    boolean goesOn =
        line.samples() > 0
            && (detector.recent().count() > 2
                || Math.abs(mgPerL - line.fitted()) < SAME_LEVEL_MG_PER_L);
    if (!goesOn) {
      line = Trend.NOT_HEARD;
      lineSince = time;
    }
    line = line.next(time, mgPerL, Fall.memory(Micros.seconds(time - lineSince)));
  }

  private Fall fall(long time, boolean sure) {
    return Fall.found(time, detector, sure, line, Micros.seconds(time - lineSince));
  }

  private void foundFall(long time, double mgPerL, Water water) {
    Fall found = fall(time, true);
    boolean disturbed =
        disturbedAt >= found.since()
            && (secondLookAt == NEVER
                || Micros.seconds(time - secondLookAt) >= SECOND_LOOKS_SECONDS);
    if (disturbed) {
      secondLookAt = time;
    }
    if (disturbed || isWarming(found, mgPerL, water)) {
      detector.startAgain(mgPerL);
    } else {
      fall = found;
    }
  }

  private void suspectFall(long time, double mgPerL, Water water) {
    Fall suspected = fall(time, false);
    if (disturbedAt < suspected.since() && !isWarming(suspected, mgPerL, water)) {
      fall = suspected;
    }
  }

  /**
   * Water that warms holds less, and a probe whose temperature swings reads anything: a fall that
   * the temperatures since its beginning could explain is no fall.
   */
  private boolean isWarming(Fall found, double mgPerL, Water water) {
    double cold = water.saturationAt(detector.recent().coldest(detector.age()));
    double warm = water.saturationAt(detector.recent().warmest(detector.age()));
    double warmed = Double.isNaN(cold) || Double.isNaN(warm) ? 0.0 : mgPerL * (cold / warm - 1.0);
    return warmed > WARMED_SHARE * (found.fromMgPerL() - mgPerL);
  }

  /** The keeper has done something that moves its readings: what was learned stays. */
  void startAgain() {
    air = air.startAgain();
    fall = null;
    health.startAgain();
    detectAnew();
  }

  /** A percentage makes other milligrams from now on. */
  void isConvertedAnew() {
    if (!air.stay().isInAir()) {
      air = air.startAgain();
    }
    if (quantity == Quantity.OXYGEN_SATURATION && fall == null) {
      if (health.doubt() == ProbeDoubt.NONE) {
        health.startAgain();
      }
      detectAnew();
    }
  }

  /**
   * What made its fall is over. If it goes on falling, that is another fall; that the probe was
   * doubted stays.
   */
  void forgetFall() {
    fall = null;
    line = Trend.NOT_HEARD;
    detectAnew();
  }

  private void detectAnew() {
    if (trend.samples() > 0) {
      detector.startAgain(trend.newest());
    }
  }

  /** Why it is not to be trusted. */
  ProbeDoubt doubt() {
    return isInAir() ? ProbeDoubt.IN_AIR : health.doubt();
  }

  /** The same for a sentence that begins with the probe. */
  String doubtWords() {
    return isInAir() ? ProbeDoubt.IN_AIR.words() : health.doubtWords();
  }

  /** One that repeats itself or reads zero does not stand where air has it. */
  private boolean isInAir() {
    return air.stay().isInAir()
        && health.doubt() != ProbeDoubt.STUCK
        && health.doubt() != ProbeDoubt.READS_ZERO;
  }

  /** Whether it was not to be trusted within the last hours, and nobody saw to it since. */
  boolean wasDoubtedOfLate() {
    return health.wasDoubtedOfLate();
  }

  /**
   * Since something spoke against it last, or for how long it has been blind, seconds; infinite
   * where that is not known, as of one in air.
   */
  double doubtedForSeconds() {
    return isInAir() ? Double.POSITIVE_INFINITY : health.doubtedForSeconds();
  }

  /** Standard deviation of its noise, mg/L. */
  double noise() {
    return detector.noise();
  }

  /** For how long it has been blind, pauses left out, seconds; 0 while it sees. */
  double troubleSeconds() {
    return health.troubleSeconds();
  }

  /** Whether it may still be settling: first heard minutes ago, or not at the water's level. */
  boolean maySettle() {
    return detector.isLearning()
        || health.wasDisplacedOfLate()
        || air.seeingSeconds() < SETTLES_AFTER_AIR_SECONDS;
  }

  /** Whether it has hardly shown yet what is usual for its water. */
  boolean isInStrangeWater() {
    return detector.isStrange();
  }

  /** Evidence for a fall, and what would suffice, standard deviations. */
  double evidence() {
    return detector.score();
  }

  /** How far it is below its quiet level, mg/L. */
  double belowLevelMgPerL() {
    return detector.level() - trend.fitted();
  }

  /**
   * Whether it shows a fall that another probe shows too: it suspects one, and of such a depth that
   * it may be the same.
   */
  boolean shows(@Nullable Fall others) {
    return fall != null
        || (evidence() > SUSPICION
            && (others == null || belowLevelMgPerL() >= SAME_FALL_SHARE * others.dropMgPerL()));
  }

  /** Rate of change now, (mg/L)/min. */
  double slopePerMinute() {
    @Nullable Fall f = fall;
    return f != null ? f.slopePerMinute() : trend.slopePerMinute();
  }

  /** Standard error of that. */
  double slopeErrorPerMinute() {
    @Nullable Fall f = fall;
    return f != null ? f.slopeErrorPerMinute(noise()) : trend.slopeErrorPerMinute(noise());
  }

  boolean hasSlope() {
    return fall != null || trend.hasSlope();
  }

  /** Whether more than one reading shows the fall that is found or suspected. */
  boolean showsFallTwice() {
    return detector.hasSecondOpinion();
  }

  /** What the water holds now: behind the lag while it falls, else the newest reading. */
  double waterMgPerL() {
    @Nullable Fall f = fall;
    return f != null ? f.oxygenMgPerL() : trend.newest();
  }

  /** The whole of it as a value. */
  record Snapshot(
      Trend trend,
      OxygenLevel level,
      @Nullable Fall fall,
      long disturbedAt,
      long secondLookAt,
      Trend line,
      long lineSince,
      AirLevel air,
      SawTooth saw,
      FallDetector.Snapshot detector,
      ProbeHealth.Snapshot health) {}

  Snapshot snapshot() {
    return new Snapshot(
        trend,
        level,
        fall,
        disturbedAt,
        secondLookAt,
        line,
        lineSince,
        air,
        saw,
        detector.snapshot(),
        health.snapshot());
  }

  void restore(Snapshot s) {
    trend = s.trend();
    level = s.level();
    fall = s.fall();
    disturbedAt = s.disturbedAt();
    secondLookAt = s.secondLookAt();
    line = s.line();
    lineSince = s.lineSince();
    air = s.air();
    saw = s.saw();
    detector = FallDetector.of(s.detector());
    health = ProbeHealth.of(s.health());
  }
}
