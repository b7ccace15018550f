// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.util.List;

/**
 * A fall of oxygen that one probe shows, from the first suspicion to its end. A value.
 *
 * <p>While it lasts its rate comes from a line through the readings since it began, whose memory
 * grows with it. It ends when oxygen has risen again by three tenths of what was lost (at least 0.3
 * mg/L), or when it has not fallen for ten minutes and is above the keep floor.
 *
 * @param sure whether it has been found; else it is only suspected, and is made anew with each
 *     reading
 * @param since when it began
 * @param foundAt when it was found
 * @param fromMgPerL the quiet level that it began from
 * @param firstRatePerMinute its rate when found, (mg/L)/min, positive
 * @param firstRateSd standard deviation of that
 * @param evidence score when found, standard deviations
 * @param lowestMgPerL the lowest reading so far
 * @param trend the line
 * @param course the readings since it began, in brief
 * @param levelSince since when it has not been falling; {@link #FALLING} while it is
 * @param ended whether it is over
 */
record Fall(
    boolean sure,
    long since,
    long foundAt,
    double fromMgPerL,
    double firstRatePerMinute,
    double firstRateSd,
    double evidence,
    double lowestMgPerL,
    Trend trend,
    Course course,
    long levelSince,
    boolean ended) {

  static final long FALLING = Long.MIN_VALUE;

  private static final double LEAST_RISE_MG_PER_L = 0.3;
  private static final double RISE_SHARE = 0.3;
  private static final double LEVEL_SECONDS = 600.0;
  private static final double LEVEL_SHARE = 0.15;
  private static final double LEVEL_PER_MINUTE = 0.01;
  private static final double LONGEST_MEMORY_SECONDS = 1800.0;

  /** How far a probe is behind the water, give or take: T90 of 10 to 60 s (detection notes). */
  static final double LAG_SECONDS = 15.0;

  /** A fall that takes up so much of all that was heard has gone on from the start. */
  private static final double MOST_OF_IT = 0.5;

  /** A line through the readings since the beginning needs this many. */
  private static final int FEWEST_FOR_LINE = 4;

  /**
   * The fall that a detector has just found or, where that is not sure, suspects.
   *
   * @param line through all that was heard at this level, for so many seconds
   */
  static Fall found(long now, FallDetector detector, boolean sure, Trend line, double lineSeconds) {
    Recent recent = detector.recent();
    double age = detector.age();
    double lag = Math.min(Onsets.LAG_SECONDS, age / 3.0);
    Trend trend = Trend.NOT_HEARD;
    Course course = Course.EMPTY;
    double lowest = Double.MAX_VALUE;
    double before = 0.0;
    int countBefore = 0;
    for (int i = 0; i < recent.count(); i++) {
      if (recent.age(i) <= age - lag) {
        trend = trend.next(now - Micros.of(recent.age(i)), recent.value(i), memory(age));
        course = course.next(age - recent.age(i), recent.value(i));
      }
      if (recent.age(i) >= age) {
        before += recent.value(i);
        countBefore++;
      }
      lowest = Math.min(lowest, recent.value(i));
    }
    if (age > MOST_OF_IT * lineSeconds) {
      trend = line;
    }
    return new Fall(
        sure,
        now - Micros.of(age),
        now,
        countBefore > 0 ? before / countBefore : recent.value(0),
        60.0 * detector.rate(),
        60.0 * detector.rateSd(),
        detector.score(),
        lowest,
        trend,
        course,
        FALLING,
        false);
  }

  /**
   * Takes a reading.
   *
   * @param shortTrend the present, to tell whether it still falls
   * @param noise the probe's, mg/L
   * @param keepMgPerL the keep floor: what settles below it is not over
   */
  Fall next(long now, double mgPerL, Trend shortTrend, double noise, double keepMgPerL) {
    Trend longer = trend.next(now, mgPerL, memory(Micros.seconds(now - since)));
    double lowest = Math.min(lowestMgPerL, mgPerL);
    double rise = shortTrend.fitted() - lowest;
    double enough =
        Math.max(Math.max(LEAST_RISE_MG_PER_L, 4.0 * noise), RISE_SHARE * (fromMgPerL - lowest));
    boolean risen = rise >= enough && shortTrend.slopePerMinute() > 0.0;
    boolean falling =
        shortTrend.slopePerMinute() < -Math.max(LEVEL_PER_MINUTE, LEVEL_SHARE * firstRatePerMinute);
    long level = falling ? FALLING : levelSince == FALLING ? now : levelSince;
    boolean levelled =
        level != FALLING
            && Micros.seconds(now - level) >= LEVEL_SECONDS
            && shortTrend.fitted() > keepMgPerL;
    return new Fall(
        sure,
        since,
        foundAt,
        fromMgPerL,
        firstRatePerMinute,
        firstRateSd,
        evidence,
        lowest,
        longer,
        course.next(Micros.seconds(now - since), mgPerL),
        level,
        risen || levelled);
  }

  /** How it may go on; of little worth in its first minute. */
  List<Paths.Path> paths(long now, double noise, Expected expected) {
    List<Paths.Path> paths = Paths.through(course, Micros.seconds(now - since), noise, expected);
    return paths.isEmpty()
        ? Paths.Path.of(
            hasLine() ? trend.fitted() : trend.newest(),
            -slopePerMinute(),
            slopeErrorPerMinute(noise),
            expected)
        : paths;
  }

  /** The memory of a line that has gone on for so long, seconds. */
  static double memory(double ageSeconds) {
    return Math.max(20.0, Math.min(LONGEST_MEMORY_SECONDS, 2.0 * ageSeconds));
  }

  private boolean hasLine() {
    return trend.samples() >= FEWEST_FOR_LINE;
  }

  /** Rate of change now, (mg/L)/min; negative while falling. */
  double slopePerMinute() {
    return hasLine() ? trend.slopePerMinute() : -firstRatePerMinute;
  }

  /** Standard error of that. */
  double slopeErrorPerMinute(double noise) {
    return hasLine()
        ? Math.max(trend.slopeErrorPerMinute(noise), 0.03 * Math.abs(trend.slopePerMinute()))
        : firstRateSd;
  }

  /** What the water holds now, behind the probe's lag, mg/L. */
  double oxygenMgPerL() {
    double lag = Math.min(0.0, slopePerMinute()) / 60.0 * LAG_SECONDS;
    return (hasLine() ? trend.fitted() : trend.newest()) + lag;
  }

  /** How far it has fallen, mg/L. */
  double dropMgPerL() {
    return fromMgPerL - lowestMgPerL;
  }

  /** Whether it goes at less than six tenths of its first rate by now: it bends. */
  boolean bends(Trend shortTrend, double noise) {
    return shortTrend.slopePerMinute() - 2.0 * shortTrend.slopeErrorPerMinute(noise)
        > -0.6 * firstRatePerMinute;
  }
}
