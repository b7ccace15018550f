// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.util.List;

/**
 * Detects that one probe's oxygen has begun to fall: {@link QuietWater} foretells, {@link Wander}
 * says how far off is ordinary, {@link Onsets} weighs the surprises.
 *
 * <p>A fall is suspected when the best onset's score passes a limit set for one false alarm in some
 * 30 tank-nights of twelve hours (detection notes, section 3: 5.1, 4.8 and 4.4 at 1, 5 and 30 s),
 * and found when it passes that for one in 150: five times fewer adds 2 ln 5 to the square, wander
 * its own. A night has room for few falls that have gone on for long, and for many short ones: so
 * chance has fewer throws at the long ones, and the limit's square comes down by 2 ln of the age
 * (Dümbgen and Spokoiny 2001, Ann. Stat. 29, 124, from memory: each length its own share of the
 * false alarms). On top of that:
 *
 * <ul>
 *   <li>one reading never suffices, so that a glitch wakes nobody; and where this probe has shown
 *       more readings far off than chance has it, two do not. Over a slow link, where the next is
 *       long in coming, one is a suspicion;
 *   <li>what fits a sudden step far better than a fall is not a fall: water cannot do that;
 *   <li>where the probe has become rough of late ({@link Roughness}), the limit goes up with it;
 *   <li>where the scores of this tank's ordinary life scatter more than the model says, the limit
 *       goes up with them, for short and long falls apart.
 * </ul>
 *
 * <p>mg/L and seconds. Not thread-safe.
 */
final class FallDetector {

  /** A reading this far off is an outlier; chance has one in two thousand, by the normal law. */
  private static final double OUTLIER = 3.5;

  /** A reading this far off is not learned from, unless there are so many that it is the noise. */
  private static final double FAR_OFF = 6.0;

  private static final double MANY = 0.05;

  private static final double PRIOR_OUTLIERS = 0.2;
  private static final double PRIOR_READINGS = 300.0;
  private static final double OUTLIERS_MEMORY_READINGS = 8000.0;

  /** Before so many readings the noise is a guess, and so is what is far off. */
  private static final int FEWEST_FOR_OUTLIERS = 64;

  /**
   * Two low outliers in neighbouring readings, expected in a night, above which two prove nothing.
   */
  private static final double MOST_PAIRS_BY_CHANCE = 0.003;

  /** However great a surprise, it counts as this many standard deviations. */
  private static final double CLIP_SURPRISE = 6.0;

  /** The same for a probe whose readings are ragged. */
  private static final double RAGGED_CLIP = 3.5;

  private static final double NIGHT_SECONDS = 12.0 * 3600.0;
  private static final double THIRD_OPINION = 2.5;

  /** A slower fall is drift, (mg/L)/s: 0.02 (mg/L)/min. */
  static final double SLOWEST = 0.02 / 60.0;

  private static final double LIMIT_SQUARED_AT_1_S = 29.6;

  private static final double FIVE_TIMES_FEWER = 2.0 * Math.log(5.0);

  /** With readings no closer than this, waiting for a second one costs more than a suspicion. */
  private static final double SLOW_LINK_SECONDS = 4.5;

  /**
   * Where the water wanders this much between two readings, in noise variances, scores forget so
   * soon that chance gets more throws.
   */
  private static final double RESTLESS = 3e-3;

  /**
   * Where it wanders this much between two readings, wander and noise are hard to tell apart, and
   * chance gets more throws again: 67 calls in 1500 simulated nights over a slow link, 56 with it.
   */
  private static final double HARDLY_TOLD_APART = 0.15;

  /**
   * From so many seconds, and so many readings, on, chance has fewer throws the longer a fall is.
   */
  private static final double SHORT_SECONDS = 20.0;

  private static final double SHORT_READINGS = 3.0;

  /** What the other readings of a fall must say without the most telling one. */
  private static final double SECOND_OPINION = 3.0;

  /** Difference of squares that speaks for a step: odds of e², or 7 to 1. */
  private static final double STEP_ODDS = 4.0;

  /** While so much speaks for a fall, nothing is learned from it. */
  private static final double TOO_SUSPICIOUS_TO_LEARN = 3.5;

  /**
   * Hardly any fish breathe this fast, (mg/L)/s: such a fall must show for longer than a bubble
   * does, and in three readings, for two cannot tell it from a step.
   */
  private static final double HEADLONG = 2.0 / 60.0;

  private static final double HEADLONG_SECONDS = 8.0;

  private static final double HEADLONG_READINGS = 2.5;

  private static final int FEWEST_READINGS = 12;

  /**
   * In its first minutes a probe's noise and its water's wander are guesses, so that at first twice
   * the evidence is asked for. As a steady fall's evidence grows with the three-halves power of
   * time, that costs at most 1.6 times the delay, and fades with this time constant.
   */
  private static final double LEARNING_SECONDS = 300.0;

  /**
   * Water of which less quiet was heard may be on its way to where it will stand, and wanders by no
   * one knows how much: it turns within the hour or so (detection notes, section 4).
   */
  static final double STRANGE_SECONDS = 1800.0;

  private final Wander wander;
  private final QuietWater water;
  private final Onsets onsets;
  private final Recent recent;
  private final QuietScores quietScores;
  private int readings;
  private double previousSurprise;
  private double limit;
  private double suspicion;
  private double skippedSeconds;
  private double counted;
  private double outliers;
  private double interval = 1.0;
  private double learnedSeconds;
  private Roughness roughness = Roughness.NOT_HEARD;

  FallDetector() {
    this(new Wander(), new QuietWater(), new Onsets(), new Recent(), new QuietScores());
  }

  private FallDetector(
      Wander wander, QuietWater water, Onsets onsets, Recent recent, QuietScores quietScores) {
    this.wander = wander;
    this.water = water;
    this.onsets = onsets;
    this.recent = recent;
    this.quietScores = quietScores;
  }

  /** The whole of it as a value. */
  record Snapshot(
      Wander.Snapshot wander,
      QuietWater.Snapshot water,
      List<Onsets.Snapshot> onsets,
      Recent.Snapshot recent,
      int readings,
      double previousSurprise,
      double limit,
      double suspicion,
      double skippedSeconds,
      double counted,
      double outliers,
      double interval,
      double learnedSeconds,
      Roughness roughness,
      List<Double> quietSeconds,
      List<Double> quietSquares) {}

  /**
   * Takes a reading.
   *
   * @param dt seconds since the one before; ignored for the first
   * @param intervalSeconds seconds between readings as learned
   * @param temperatureC of the water; NaN where not known
   * @param trusted whether the probe makes sense, so that its noise may be learned from
   */
  void accept(
      double dt, double mgPerL, double intervalSeconds, double temperatureC, boolean trusted) {
    interval = Math.max(1.0, intervalSeconds);
    if (readings == 0) {
      startAgain(mgPerL);
      readings = 1;
      return;
    }
    previousSurprise = water.surprise();
    double passed = dt + skippedSeconds;
    skippedSeconds = 0.0;
    take(passed, mgPerL, temperatureC, trusted);
    readings++;
  }

  private void take(double dt, double mgPerL, double temperatureC, boolean trusted) {
    water.accept(dt, mgPerL, wander.noise(), wander.variancePerSecond());
    onsets.accept(dt, water, isRagged() ? RAGGED_CLIP : CLIP_SURPRISE);
    recent.add(dt, mgPerL, temperatureC);
    double rough = roughness.times(); // before this reading: a fall's first must not doubt itself
    roughness = roughness.next(mgPerL, wander.noise());
    boolean quiet = onsets.score() < TOO_SUSPICIOUS_TO_LEARN || onsets.rate() < SLOWEST;
    if (quiet && trusted) {
      if (Math.abs(water.surprise()) < FAR_OFF || outliers > MANY * counted) {
        wander.accept(dt, mgPerL);
      }
      quietScores.accept(dt, onsets);
      countOutlier();
      learnedSeconds += Math.min(dt, 60.0);
    }
    double shortAge = SHORT_SECONDS + SHORT_READINGS * interval;
    double wandered = wander.ratio() * interval;
    double squared =
        LIMIT_SQUARED_AT_1_S
            - 2.0 * Math.log(interval * Math.max(1.0, onsets.age() / shortAge))
            + Math.log1p(wandered / RESTLESS)
            + Math.log1p(wandered / HARDLY_TOLD_APART);
    double scatter = quietScores.scatter(onsets.age());
    double known = scatter * rough * (1.0 + Math.exp(-learnedSeconds / LEARNING_SECONDS));
    limit = Math.sqrt(squared) * known;
    suspicion = Math.sqrt(squared - FIVE_TIMES_FEWER) * known;
  }

  /** A reading that says nothing was passed over, {@code dt} seconds after the one before. */
  void skip(double dt) {
    skippedSeconds += dt;
  }

  private void countOutlier() {
    if (readings < FEWEST_FOR_OUTLIERS) {
      return;
    }
    double kept = 1.0 - 1.0 / OUTLIERS_MEMORY_READINGS;
    counted = kept * counted + 1.0;
    outliers = kept * outliers + (Math.abs(water.surprise()) > OUTLIER ? 1.0 : 0.0);
  }

  /** Whether low outliers have come so often that two together in a night are no wonder. */
  private boolean isRagged() {
    double low = 0.5 * (outliers + PRIOR_OUTLIERS) / (counted + PRIOR_READINGS);
    return NIGHT_SECONDS / interval * 2.0 * low * low > MOST_PAIRS_BY_CHANCE;
  }

  /** Whether the newest reading shows that oxygen has begun to fall. */
  boolean detects() {
    return readings >= FEWEST_READINGS
        && onsets.score() >= limit
        && onsets.rate() >= SLOWEST
        && hasSecondOpinion()
        && (onsets.rate() < HEADLONG || hasShownLongEnough())
        && !looksLikeStep(-1.0);
  }

  /**
   * Whether the newest reading makes one suspect that oxygen has begun to fall. What is detected is
   * suspected too.
   */
  boolean suspects() {
    return readings >= FEWEST_READINGS
        && onsets.score() >= suspicion
        && onsets.rate() >= SLOWEST
        && (hasSecondOpinion() || (interval >= SLOW_LINK_SECONDS && !isRagged()))
        && !looksLikeStep(-1.0);
  }

  private boolean hasShownLongEnough() {
    return onsets.age() >= Math.max(HEADLONG_SECONDS, HEADLONG_READINGS * interval);
  }

  /** Whether the fall shows without its most telling reading, or two where the probe is ragged. */
  boolean hasSecondOpinion() {
    if (isRagged()) {
      return onsets.scoreWithoutTwo() >= THIRD_OPINION;
    }
    return onsets.scoreWithoutOne() >= SECOND_OPINION
        || (water.surprise() <= -SECOND_OPINION && previousSurprise <= -SECOND_OPINION);
  }

  /**
   * Whether the newest readings look like a sudden step rather than a slope: water cannot step.
   *
   * @param sign −1 for down, 1 for up
   */
  boolean looksLikeStep(double sign) {
    double since = sign < 0.0 ? onsets.age() : 0.0;
    return recent.stepOverSlope(sign, since, wander.noise()) > STEP_ODDS;
  }

  /** The level has changed for a known reason, or a fall is over: what was learned stays. */
  void startAgain(double mgPerL) {
    wander.startAgain(mgPerL);
    water.start(mgPerL, wander.noise());
    onsets.start();
    recent.clear();
    recent.add(0.0, mgPerL, Double.NaN);
    previousSurprise = 0.0;
    skippedSeconds = 0.0;
  }

  /** The quiet level as foretold, mg/L. */
  double level() {
    return water.level();
  }

  /** How far the newest reading was off, standard deviations. */
  double surprise() {
    return water.surprise();
  }

  /** Standard deviation of the probe's noise, mg/L. */
  double noise() {
    return wander.noise();
  }

  /** The newest readings. */
  Recent recent() {
    return recent;
  }

  /** Seconds since the fall began. */
  double age() {
    return onsets.age();
  }

  /** Its rate, (mg/L)/s, positive. */
  double rate() {
    return onsets.rate();
  }

  /** The standard deviation of that. */
  double rateSd() {
    return onsets.rateSd();
  }

  /** Whether its noise and its water's wander are still mostly guesses. */
  boolean isLearning() {
    return learnedSeconds < LEARNING_SECONDS;
  }

  /** Whether too little of this water was heard while it was quiet to know what is usual. */
  boolean isStrange() {
    return learnedSeconds < STRANGE_SECONDS;
  }

  /** The evidence, standard deviations. */
  double score() {
    return onsets.score();
  }

  /** The evidence that suffices. */
  double limit() {
    return limit;
  }

  Snapshot snapshot() {
    return new Snapshot(
        wander.snapshot(),
        water.snapshot(),
        onsets.snapshot(),
        recent.snapshot(),
        readings,
        previousSurprise,
        limit,
        suspicion,
        skippedSeconds,
        counted,
        outliers,
        interval,
        learnedSeconds,
        roughness,
        quietScores.seconds(),
        quietScores.squares());
  }

  static FallDetector of(Snapshot s) {
    FallDetector d =
        new FallDetector(
            Wander.of(s.wander()),
            QuietWater.of(s.water()),
            Onsets.of(s.onsets()),
            Recent.of(s.recent()),
            QuietScores.of(s.quietSeconds(), s.quietSquares()));
    d.readings = s.readings();
    d.previousSurprise = s.previousSurprise();
    d.limit = s.limit();
    d.suspicion = s.suspicion();
    d.skippedSeconds = s.skippedSeconds();
    d.counted = s.counted();
    d.outliers = s.outliers();
    d.interval = s.interval();
    d.learnedSeconds = s.learnedSeconds();
    d.roughness = s.roughness();
    return d;
  }
}
