// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

/**
 * Whether one oxygen probe is to be trusted, from its own readings and the water's temperature.
 *
 * <ul>
 *   <li>Stuck: it repeats one value, far longer than it ordinarily does ({@link Repeats}).
 *   <li>Reads zero, jumped, out of the water: a reading far off what was foretold (eight standard
 *       deviations, and half a milligram at least) and not the only one. Water cannot step: even a
 *       lost supply is a fall. Together with a step of temperature it is the probe in air.
 *   <li>Jumping: five lone readings like that within half an hour or so.
 * </ul>
 *
 * <p>A jump is forgiven when the probe is back where it was, or after half an hour of sense; one
 * that was out of the water also when its temperature is the water's again. mg/L and seconds. Not
 * thread-safe.
 */
final class ProbeHealth {

  private static final double STEP_SDS = 8.0;
  private static final double STEP_MG_PER_L = 0.5;
  private static final int STEP_READINGS = 3;
  private static final double STEP_SECONDS = 20.0;
  private static final double ZERO_MG_PER_L = 0.1;
  private static final double FREEZING_C = -1.0;

  /** Oxygen that has gone up so far by the time that a temperature is believed has jumped, mg/L. */
  private static final double UNSEEN_JUMP_MG_PER_L = 1.0;

  /** Half a degree in a minute: the sun on a shallow tank does less. */
  private static final double OUT_OF_WATER_C_PER_SECOND = 0.5 / 60.0;

  /** A temperature that has stepped and stays is believed after this long, or so many readings. */
  private static final double DISTURBED_SECONDS = 60.0;

  private static final int DISTURBED_READINGS = 3;
  private static final double FORGIVEN_AFTER_SECONDS = 1800.0;

  /** The same for a probe that its temperature says is out of the water still. */
  private static final double IN_AIR_FORGIVEN_AFTER_SECONDS = 7200.0;

  /** Blind times no further apart are one trouble: a probe that bobs in and out of the water. */
  private static final double BOBBING_SECONDS = 600.0;

  private static final double LONG_AGO_SECONDS = 1e9;

  /** So long a probe that was doubted is no witness against another (common practice). */
  static final double DOUBTED_OF_LATE_SECONDS = 3.0 * 3600.0;

  /** For so long after somebody was at the probe, a step is no wonder. */
  private static final double STEPS_EXPECTED_SECONDS = 600.0;

  private static final double MOST_JUMPS = 4.5;
  private static final double JUMPS_MEMORY_SECONDS = 1800.0;

  private ProbeDoubt doubt = ProbeDoubt.NONE;
  private double doubtSeconds = LONG_AGO_SECONDS;

  /** Since it last stood at a level that is not the water's. */
  private double displacedSeconds = LONG_AGO_SECONDS;

  /** For how long it has been blind, pauses left out, and since when it is not. */
  private double troubleSeconds;

  private double seeingSeconds;

  private double expectedSeconds;
  private double levelBefore;
  private double temperatureBeforeC = Double.NaN;
  private double backWithinC;
  private double backSeconds;
  private Repeats repeats = Repeats.NONE;
  private int off;
  private double offSeconds;
  private double offSign;
  private double jumps;
  private UsualTemperature usualTemperature = UsualTemperature.NOT_HEARD;
  private double previousTemperatureC = Double.NaN;
  private boolean steppedFast;
  private int disturbedReadings;
  private double disturbedSeconds;

  /** Whether the temperature stepped and stayed when it jumped: new water does that too. */
  private boolean jumpedWithTemperature;

  /** The whole of it as a value. */
  record Snapshot(
      ProbeDoubt doubt,
      double doubtSeconds,
      double displacedSeconds,
      double troubleSeconds,
      double seeingSeconds,
      double expectedSeconds,
      double levelBefore,
      double temperatureBeforeC,
      double backWithinC,
      double backSeconds,
      Repeats repeats,
      int off,
      double offSeconds,
      double offSign,
      double jumps,
      UsualTemperature usualTemperature,
      double previousTemperatureC,
      boolean steppedFast,
      int disturbedReadings,
      double disturbedSeconds,
      boolean jumpedWithTemperature) {}

  /**
   * Takes a reading.
   *
   * @param dt seconds since the one before
   * @param detector that has taken it, and knows what was foretold
   * @param temperatureC of the water; NaN where not known
   * @return whether the quiet level is to be taken anew from here, for the probe has moved
   */
  boolean accept(double dt, double mgPerL, FallDetector detector, double temperatureC) {
    doubtSeconds += dt;
    displacedSeconds = doubt.isDisplaced() ? 0.0 : displacedSeconds + dt;
    expectedSeconds -= dt;
    jumps *= Math.exp(-dt / JUMPS_MEMORY_SECONDS);
    repeats = repeats.next(dt, mgPerL);
    if (repeats.isStuck() || repeats.isToggling()) {
      doubt(ProbeDoubt.STUCK, mgPerL);
    }
    boolean moved = weighStep(dt, mgPerL, detector);
    boolean forgiven = settle(dt, mgPerL, temperatureC);
    return moved || forgiven;
  }

  private boolean weighStep(double dt, double mgPerL, FallDetector detector) {
    double surprise = detector.surprise();
    double level = detector.level();
    boolean far = Math.abs(surprise) >= STEP_SDS && Math.abs(mgPerL - level) >= STEP_MG_PER_L;
    if (!far) {
      if (off > 0 && off < STEP_READINGS) {
        jumps++;
      }
      off = 0;
      offSeconds = 0.0;
      if (jumps > MOST_JUMPS && doubt == ProbeDoubt.NONE) {
        doubt(ProbeDoubt.JUMPING, level);
      }
      return false;
    }
    if (off > 0 && offSign != Math.signum(surprise)) {
      off = 0;
      offSeconds = 0.0;
      jumps++;
    }
    offSign = Math.signum(surprise);
    offSeconds += off > 0 ? dt : 0.0;
    off++;
    if (off < STEP_READINGS || offSeconds < STEP_SECONDS) {
      return false;
    }
    boolean zero = mgPerL <= ZERO_MG_PER_L;
    boolean step = zero || detector.looksLikeStep(offSign);
    if (!step && offSign < 0.0) {
      return false; // a fall, which is the detector's business
    }
    off = 0;
    offSeconds = 0.0;
    if (zero) {
      doubt(ProbeDoubt.READS_ZERO, level);
    } else if (step && expectedSeconds <= 0.0) {
      doubt(ProbeDoubt.JUMPED, level);
    }
    return true;
  }

  private void doubt(ProbeDoubt newDoubt, double level) {
    if (doubt == ProbeDoubt.NONE) {
      levelBefore = level;
    }
    boolean isStillOut = doubt == ProbeDoubt.OUT_OF_WATER && newDoubt == ProbeDoubt.JUMPED;
    doubt = isStillOut ? doubt : newDoubt; // the water's temperature tells when it is back
    doubtSeconds = 0.0;
  }

  /** Whether a doubt has just ended. */
  private boolean settle(double dt, double mgPerL, double temperatureC) {
    if (temperatureC < FREEZING_C) {
      doubt(ProbeDoubt.OUT_OF_WATER, mgPerL);
      return false;
    }
    boolean back =
        Math.abs(mgPerL - levelBefore) < STEP_MG_PER_L / 2.0
            || (doubt == ProbeDoubt.OUT_OF_WATER
                && Math.abs(temperatureC - temperatureBeforeC) < backWithinC);
    backSeconds = back ? backSeconds + dt : 0.0;
    boolean over =
        switch (doubt) {
          case NONE, IN_AIR -> false; // that is for AirLevel to say
          case STUCK -> repeats.hasMoved();
          case READS_ZERO -> mgPerL > ZERO_MG_PER_L;
          case OUT_OF_WATER ->
              doubtSeconds > IN_AIR_FORGIVEN_AFTER_SECONDS || backSeconds > STEP_SECONDS;
          case JUMPED, WATER_CHANGED ->
              doubtSeconds > FORGIVEN_AFTER_SECONDS || backSeconds > STEP_SECONDS;
          case JUMPING -> jumps < 1.0;
        };
    if (over) {
      doubt = ProbeDoubt.NONE;
      jumpedWithTemperature = false;
    }
    return over;
  }

  /** The keeper has cleaned, moved or calibrated it, or changed the water: start afresh. */
  void startAgain() {
    expectedSeconds = STEPS_EXPECTED_SECONDS;
    doubt = ProbeDoubt.NONE;
    doubtSeconds = LONG_AGO_SECONDS;
    jumpedWithTemperature = false;
    off = 0;
    offSeconds = 0.0;
    jumps = 0.0;
    repeats = repeats.broken();
  }

  /** It was in air and is no longer: a step is no wonder. */
  void comesBack() {
    startAgain();
    doubtSeconds = 0.0;
    displacedSeconds = 0.0;
  }

  /** What a step of the water's temperature does to an oxygen reading. */
  enum Disturbance {
    /** The temperature is as usual. */
    NONE,
    /** It has just stepped: the reading says nothing about oxygen. */
    PRESENT,
    /**
     * It has settled, or has stayed stepped for so long that it is believed: take the level anew.
     */
    OVER
  }

  /**
   * Looks at the temperature beside a reading, before anything is made of the reading. Water does
   * not step in temperature, but probes come out of it, and a wrong temperature makes wrong
   * milligrams.
   *
   * @param saturationMgPerL of the water with air at that temperature; NaN where not known
   */
  Disturbance disturbance(
      double dt,
      double mgPerL,
      double level,
      double temperatureC,
      double saturationMgPerL,
      double intervalSeconds) {
    if (doubt.isBlind()) {
      troubleSeconds += dt;
      seeingSeconds = 0.0;
    } else {
      seeingSeconds += dt;
      if (seeingSeconds > BOBBING_SECONDS) { // what bobs in and out of the water has one trouble
        troubleSeconds = 0.0;
      }
    }
    double usualC = usualTemperature.celsius();
    double before = previousTemperatureC;
    previousTemperatureC = temperatureC;
    boolean stepped = usualTemperature.isSteppedTo(temperatureC);
    usualTemperature = usualTemperature.next(dt, temperatureC, intervalSeconds);
    boolean was = disturbedReadings > 0;
    if (!stepped) {
      boolean shortOne = disturbedReadings < DISTURBED_READINGS;
      disturbedReadings = 0;
      disturbedSeconds = 0.0;
      return was && !shortOne ? overAt(mgPerL, level, saturationMgPerL) : Disturbance.NONE;
    }
    disturbedSeconds += was ? dt : 0.0;
    disturbedReadings++;
    if (!was) {
      steppedFast = Math.abs(temperatureC - before) >= OUT_OF_WATER_C_PER_SECOND * dt;
    }
    if (steppedFast
        && StepOfBoth.isOutOfWater(temperatureC - usualC, mgPerL - level)
        && disturbedReadings >= STEP_READINGS
        && disturbedSeconds >= STEP_SECONDS) {
      if (doubt != ProbeDoubt.OUT_OF_WATER) {
        temperatureBeforeC = usualC;
        backWithinC = Math.abs(temperatureC - usualC) / 2.0;
      }
      doubt(ProbeDoubt.OUT_OF_WATER, level);
    }
    if (disturbedReadings > DISTURBED_READINGS && disturbedSeconds >= DISTURBED_SECONDS) {
      usualTemperature = usualTemperature.movedTo(temperatureC);
      disturbedReadings = 0;
      disturbedSeconds = 0.0;
      return overAt(mgPerL, level, saturationMgPerL);
    }
    return Disturbance.PRESENT;
  }

  /** Nobody looked at the readings meanwhile: a jump shows in where they are now. */
  private Disturbance overAt(double mgPerL, double level, double saturationMgPerL) {
    if (doubt == ProbeDoubt.NONE
        && expectedSeconds <= 0.0
        && mgPerL - level >= UNSEEN_JUMP_MG_PER_L) {
      boolean changed = StepOfBoth.isChangedWater(mgPerL - level, saturationMgPerL - level);
      doubt(changed ? ProbeDoubt.WATER_CHANGED : ProbeDoubt.JUMPED, level);
      jumpedWithTemperature = true;
    }
    return Disturbance.OVER;
  }

  /**
   * Whether a fall that it shows is to be believed: one that began at a level it had jumped to only
   * once it is well below the level before the jump.
   */
  boolean believesFallTo(double mgPerL) {
    return doubt == ProbeDoubt.NONE || mgPerL < levelBefore - STEP_MG_PER_L;
  }

  /** Whether somebody has just been at it or changed the water, so that a step is no wonder. */
  boolean expectsStep() {
    return expectedSeconds > 0.0;
  }

  /** Why it is not to be trusted. */
  ProbeDoubt doubt() {
    return doubt;
  }

  /** The same for a sentence that begins with the probe. */
  String doubtWords() {
    return doubt == ProbeDoubt.JUMPED && jumpedWithTemperature
        ? "jumped when the temperature did: water changed, or the probe moved"
        : doubt.words();
  }

  /** For how long it has been blind, pauses left out, seconds; 0 while it sees. */
  double troubleSeconds() {
    return doubt.isBlind() ? troubleSeconds : 0.0;
  }

  /** Since something spoke against it last, or for how long it has been blind, seconds. */
  double doubtedForSeconds() {
    return doubt.isBlind() ? troubleSeconds : doubtSeconds;
  }

  /** Whether it stood at a level that is not the water's within the last half hour. */
  boolean wasDisplacedOfLate() {
    return displacedSeconds < FORGIVEN_AFTER_SECONDS;
  }

  /** Whether it was doubted within the last hours, and nobody saw to it since. */
  boolean wasDoubtedOfLate() {
    return doubtSeconds < DOUBTED_OF_LATE_SECONDS;
  }

  /** Whether nothing speaks against it, not even the newest reading. */
  boolean makesSense() {
    return doubt == ProbeDoubt.NONE && off == 0;
  }

  Snapshot snapshot() {
    return new Snapshot(
        doubt,
        doubtSeconds,
        displacedSeconds,
        troubleSeconds,
        seeingSeconds,
        expectedSeconds,
        levelBefore,
        temperatureBeforeC,
        backWithinC,
        backSeconds,
        repeats,
        off,
        offSeconds,
        offSign,
        jumps,
        usualTemperature,
        previousTemperatureC,
        steppedFast,
        disturbedReadings,
        disturbedSeconds,
        jumpedWithTemperature);
  }

  static ProbeHealth of(Snapshot s) {
    ProbeHealth h = new ProbeHealth();
    h.doubt = s.doubt();
    h.doubtSeconds = s.doubtSeconds();
    h.displacedSeconds = s.displacedSeconds();
    h.troubleSeconds = s.troubleSeconds();
    h.seeingSeconds = s.seeingSeconds();
    h.expectedSeconds = s.expectedSeconds();
    h.levelBefore = s.levelBefore();
    h.temperatureBeforeC = s.temperatureBeforeC();
    h.backWithinC = s.backWithinC();
    h.backSeconds = s.backSeconds();
    h.repeats = s.repeats();
    h.off = s.off();
    h.offSeconds = s.offSeconds();
    h.offSign = s.offSign();
    h.jumps = s.jumps();
    h.usualTemperature = s.usualTemperature();
    h.previousTemperatureC = s.previousTemperatureC();
    h.steppedFast = s.steppedFast();
    h.disturbedReadings = s.disturbedReadings();
    h.disturbedSeconds = s.disturbedSeconds();
    h.jumpedWithTemperature = s.jumpedWithTemperature();
    return h;
  }
}
