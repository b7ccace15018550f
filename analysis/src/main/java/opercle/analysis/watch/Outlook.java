// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import opercle.analysis.Band;

/**
 * Time in hand in closed form, from the closed-tank oxygen balance {@code dC/dt = k (C* − C) − D}.
 *
 * <p>Without exchange at the surface the fall is straight, {@code t = (C − floor) / D}; with it, C
 * approaches {@code Css = C* − D/k} and {@code t = −ln((floor − Css)/(C − Css))/k}, never where Css
 * is at the floor or above. Surface exchange of a still open tank is 0.05–0.3 1/h (from memory).
 */
final class Outlook {

  /** Beyond a day nothing is foretold: the band ends here, and a floor further off is no fall. */
  static final double HORIZON_MINUTES = 24.0 * 60.0;

  private static final double LIKELY_SURFACE_PER_HOUR = 0.15;
  private static final double HIGHEST_SURFACE_PER_HOUR = 0.3;

  /** Half width of the middle 80 % of a normal distribution, in standard deviations. */
  private static final double EIGHTY_PERCENT = 1.2816;

  /** Unless a fall has been found, a slower one counts as level, (mg/L)/min. */
  private static final double LEVEL_PER_MINUTE = 0.02;

  /** The probe's lag is known no better than this, minutes. */
  private static final double LAG_ERROR_MINUTES = 0.12;

  private Outlook() {}

  /**
   * As things go: the observed slope goes on; at the pessimistic end straight on, else with what
   * the surface gives back as oxygen falls.
   *
   * @param slopePerMinute (mg/L)/min, negative when falling
   * @param slopeError its standard error
   * @param slopeAgeMinutes how old what the slope was measured on is on average: what the surface
   *     has taken off it since is taken off
   * @param fallFound whether a fall has been found, so that even a slow one is no accident
   */
  static TimeInHand asThingsGo(
      double oxygenMgPerL,
      double floorMgPerL,
      double slopePerMinute,
      double slopeError,
      double slopeAgeMinutes,
      boolean fallFound) {
    double height = oxygenMgPerL - floorMgPerL;
    if (height <= 0.0) {
      return new TimeInHand.Minutes(Band.exactly(0.0));
    }
    double fall = -slopePerMinute;
    double least = fallFound ? slopeError : Math.max(LEVEL_PER_MINUTE, 2.0 * slopeError);
    if (fall <= Math.max(least, height / HORIZON_MINUTES)) {
      return new TimeInHand.Holding();
    }
    double slow = fall - EIGHTY_PERCENT * slopeError;
    double fast = fall + EIGHTY_PERCENT * slopeError;
    return new TimeInHand.Minutes(
        new Band(
            Math.max(0.0, height / fast - LAG_ERROR_MINUTES),
            slackening(height, fall, LIKELY_SURFACE_PER_HOUR / 60.0, slopeAgeMinutes),
            slackening(height, slow, HIGHEST_SURFACE_PER_HOUR / 60.0, slopeAgeMinutes)
                + LAG_ERROR_MINUTES));
  }

  /** What the surface of a still tank likely gives for a deficit in mg/L, (mg/L)/min. */
  static double surfacePerMinute(double deficitMgPerL) {
    return LIKELY_SURFACE_PER_HOUR / 60.0 * deficitMgPerL;
  }

  /** Minutes to fall by a height at first at a rate, which the surface lessens as oxygen falls. */
  private static double slackening(double height, double rate, double k, double ageMinutes) {
    double settles = rate * Math.exp(-k * ageMinutes) / k; // how far it would fall in the end
    if (rate <= 0.0 || settles <= height) {
      return HORIZON_MINUTES;
    }
    return Math.min(HORIZON_MINUTES, -Math.log1p(-height / settles) / k);
  }

  /**
   * If the supply ended now.
   *
   * @param saturationMgPerL what the surface pulls towards
   * @param demandPerMinute what the load takes, (mg/L)/min
   */
  static TimeInHand ifGasStops(
      double oxygenMgPerL, double floorMgPerL, double saturationMgPerL, Band demandPerMinute) {
    if (oxygenMgPerL <= floorMgPerL) {
      return new TimeInHand.Minutes(Band.exactly(0.0));
    }
    double likely =
        minutes(
            oxygenMgPerL,
            floorMgPerL,
            saturationMgPerL,
            demandPerMinute.likely(),
            LIKELY_SURFACE_PER_HOUR / 60.0);
    if (likely >= HORIZON_MINUTES) {
      return new TimeInHand.Holding();
    }
    double low = minutes(oxygenMgPerL, floorMgPerL, saturationMgPerL, demandPerMinute.high(), 0.0);
    double high =
        minutes(
            oxygenMgPerL,
            floorMgPerL,
            saturationMgPerL,
            demandPerMinute.low(),
            HIGHEST_SURFACE_PER_HOUR / 60.0);
    // Above saturation the surface takes oxygen away, which may turn the order round.
    return new TimeInHand.Minutes(new Band(Math.min(low, likely), likely, Math.max(likely, high)));
  }

  /**
   * Minutes to the floor, at most {@link #HORIZON_MINUTES}; rates {@code d} and {@code k} per
   * minute.
   */
  static double minutes(double c, double floor, double saturation, double d, double k) {
    if (k == 0.0) {
      return Math.min(HORIZON_MINUTES, (c - floor) / d);
    }
    double settlesAt = saturation - d / k;
    if (settlesAt >= floor) {
      return HORIZON_MINUTES;
    }
    return Math.min(HORIZON_MINUTES, -Math.log((floor - settlesAt) / (c - settlesAt)) / k);
  }
}
