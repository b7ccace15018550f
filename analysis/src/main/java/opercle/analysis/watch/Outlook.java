// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import opercle.analysis.Band;
import opercle.analysis.stock.Feeding;
import opercle.analysis.stock.OxygenDemand;

/**
 * Time in hand, from the closed-tank oxygen balance {@code dC/dt = k (C* − C) − D(C)} of the mass
 * balance notes.
 *
 * <p>Neither k, D nor C is known to a figure. So the balance is played out for a few hundred cases
 * (exchange by rate by level), each with its weight; the band runs from the tenth to the ninetieth
 * hundredth of their times, and the likely time is the fiftieth. A case that never reaches the
 * floor counts as {@link #HORIZON_MINUTES}.
 */
final class Outlook {

  /** Beyond a day nothing is foretold: the band ends here, and a floor further off is no fall. */
  static final double HORIZON_MINUTES = 24.0 * 60.0;

  private static final double LIKELY_SURFACE_PER_HOUR = 0.15;

  /** Middles of five equal shares of a normal distribution, standard deviations. */
  private static final double[] FIFTHS = {-1.2816, -0.5244, 0.0, 0.5244, 1.2816};

  /** Middles of three, spread so that their standard deviation is one. */
  private static final double[] THIRDS = {-1.2247, 0.0, 1.2247};

  /** Rates tried about that of a course: so many standard deviations off, and this far apart. */
  private static final double FARTHEST = 3.0;

  private static final double APART = 0.75;

  /** What is less likely than this is left out. */
  private static final double HARDLY = 0.003;

  /** Unless a fall has been found, a slower one counts as level, (mg/L)/min. */
  private static final double LEVEL_PER_MINUTE = 0.02;

  /** And one that is not this many standard errors steep. */
  private static final double LEVEL_ERRORS = 3.0;

  /** What the probe reads is the tank's mean this well, standard deviation, mg/L (sensor facts). */
  private static final double LEVEL_SD = 0.1;

  /**
   * What fish take wanders by a tenth and more within the hour: the rate to come is not today's.
   */
  private static final double RATE_WANDERS = 0.10;

  /**
   * Fish take what they want down to 0.9–1.6 mg/L and then less and less (Ott, Heisler &amp; Ultsch
   * 1980): in proportion to what there is under the middle of these, mg/L (our construction).
   */
  private static final double ALL_THEY_WANT_MG_PER_L = 1.25;

  /**
   * What a meal still takes at any time within a day of it: the low end of what it does, for the
   * peak fades over hours and nobody says how long ago it was.
   */
  private static final double DIGESTING = Feeding.FED.oxygenMultiplier().low();

  private static final int STEPS = 20;

  private Outlook() {}

  /** Minutes of one case, and how much it counts. */
  private record Case(double minutes, double weight) {}

  /**
   * As things go: a fall that was found goes on along its paths.
   *
   * @param lagMinutes how far the probe is behind the water
   */
  static TimeInHand asThingsGo(
      double floorMgPerL, List<Paths.Path> paths, double lagMinutes, Expected expected) {
    List<Case> cases = new ArrayList<>();
    for (Paths.Path path : paths) {
      if (path.weight() < HARDLY) {
        continue;
      }
      double levelSd = Math.hypot(path.levelSd(), LEVEL_SD);
      for (double z = -FARTHEST; z <= FARTHEST; z += APART) {
        double rate = path.ratePerMinute() + z * path.rateSd();
        double weight = path.weight() * Math.exp(-0.5 * z * z) * expected.rateDensity(rate);
        if (weight == 0.0) {
          continue;
        }
        double level = path.mgPerL() - Math.max(0.0, rate) * lagMinutes;
        for (double x : THIRDS) {
          double later = rate * (1.0 + x * RATE_WANDERS);
          for (double y : THIRDS) {
            cases.add(
                new Case(
                    fallMinutes(level + y * levelSd, floorMgPerL, later, path.perMinute()),
                    weight));
          }
        }
      }
    }
    return cases.isEmpty() ? new TimeInHand.Holding() : summary(cases, HORIZON_MINUTES);
  }

  /**
   * As things go, without a fall having been found: a trend that is steep enough to be no accident
   * goes on.
   *
   * @param slopePerMinute (mg/L)/min, negative when falling
   * @param slopeError its standard error
   */
  static TimeInHand asTheTrendGoes(
      double oxygenMgPerL,
      double floorMgPerL,
      double slopePerMinute,
      double slopeError,
      Expected expected) {
    double height = oxygenMgPerL - floorMgPerL;
    if (height <= 0.0) {
      return new TimeInHand.Minutes(Band.exactly(0.0));
    }
    double least = Math.max(LEVEL_PER_MINUTE, LEVEL_ERRORS * slopeError);
    if (-slopePerMinute <= Math.max(least, height / HORIZON_MINUTES)) {
      return new TimeInHand.Holding();
    }
    return asThingsGo(
        floorMgPerL,
        Paths.Path.of(oxygenMgPerL, -slopePerMinute, slopeError, expected),
        0.0,
        expected);
  }

  /** What the surface of a still tank likely gives for a deficit in mg/L, (mg/L)/min. */
  static double surfacePerMinute(double deficitMgPerL) {
    return LIKELY_SURFACE_PER_HOUR / 60.0 * deficitMgPerL;
  }

  /**
   * If the supply ended now. The load takes what the books have it take, or what was measured, but
   * one in ten digests a meal or is roused: as often as {@link Expected} lets a fall be of such
   * fish.
   *
   * @param saturationMgPerL what the surface pulls towards
   * @param demandPerMinute what the load takes, (mg/L)/min
   */
  static TimeInHand ifGasStops(
      double oxygenMgPerL,
      double floorMgPerL,
      double saturationMgPerL,
      Band demandPerMinute,
      Expected expected) {
    if (oxygenMgPerL <= floorMgPerL) {
      return new TimeInHand.Minutes(Band.exactly(0.0));
    }
    List<Case> cases = new ArrayList<>(2 * FIFTHS.length * FIFTHS.length * THIRDS.length);
    for (double z : FIFTHS) {
      double demand = at(demandPerMinute, z);
      for (double y : FIFTHS) {
        double k = expected.surfaceAt(y) / 60.0;
        for (double x : THIRDS) {
          double level = oxygenMgPerL + x * LEVEL_SD;
          double surface = k * (saturationMgPerL - level);
          cases.add(
              new Case(
                  fallMinutes(level, floorMgPerL, demand - surface, k), 1.0 - Expected.ROUSED));
          cases.add(
              new Case(
                  fallMinutes(level, floorMgPerL, DIGESTING * demand - surface, k),
                  Expected.ROUSED));
        }
      }
    }
    return summary(cases, HORIZON_MINUTES);
  }

  /** How likely it is, by how fast a fall goes, that the whole supply is lost, 0–1. */
  static double whollyLost(List<Paths.Path> paths, Expected expected) {
    double lost = 0.0;
    double all = 0.0;
    for (Paths.Path path : paths) {
      for (double z = -FARTHEST; z <= FARTHEST; z += APART) {
        double rate = path.ratePerMinute() + z * path.rateSd();
        double weight = path.weight() * Math.exp(-0.5 * z * z);
        lost += weight * expected.lostDensity(rate);
        all += weight * expected.rateDensity(rate);
      }
    }
    return all > 0.0 ? lost / all : 0.0;
  }

  /**
   * Between two times, bound by bound on a logarithmic scale: the one without minutes or with none
   * left gives way to the first.
   *
   * @param share of the second, 0–1
   */
  static TimeInHand between(TimeInHand first, TimeInHand second, double share) {
    if (!(first instanceof TimeInHand.Minutes m)
        || !(second instanceof TimeInHand.Minutes n)
        || !(m.minutes().low() > 0.0 && n.minutes().low() > 0.0)) {
      return first;
    }
    return new TimeInHand.Minutes(
        new Band(
            between(m.minutes().low(), n.minutes().low(), share),
            between(m.minutes().likely(), n.minutes().likely(), share),
            between(m.minutes().high(), n.minutes().high(), share)));
  }

  private static double between(double a, double b, double share) {
    return a * Math.pow(b / a, share);
  }

  /** Of two times that both are upper limits, the shorter at each bound. */
  static TimeInHand shorter(TimeInHand a, TimeInHand b) {
    if (a instanceof TimeInHand.Minutes m && b instanceof TimeInHand.Minutes n) {
      return new TimeInHand.Minutes(
          new Band(
              Math.min(m.minutes().low(), n.minutes().low()),
              Math.min(m.minutes().likely(), n.minutes().likely()),
              Math.min(m.minutes().high(), n.minutes().high())));
    }
    return a instanceof TimeInHand.Minutes ? a : b;
  }

  /** What the load takes, log-normal on either side, at a normal quantile. */
  private static double at(Band band, double z) {
    double end = z < 0.0 ? band.low() : band.high();
    return band.likely() > 0.0 && end > 0.0
        ? band.likely() * Math.pow(end / band.likely(), Math.abs(z) / OxygenDemand.ENDS_SD)
        : band.likely();
  }

  private static TimeInHand summary(List<Case> cases, double horizon) {
    cases.sort(Comparator.comparingDouble(Case::minutes));
    double all = 0.0;
    for (Case c : cases) {
      all += c.weight;
    }
    double likely = quantile(cases, 0.5 * all);
    return likely >= horizon
        ? new TimeInHand.Holding()
        : new TimeInHand.Minutes(
            new Band(quantile(cases, 0.1 * all), likely, quantile(cases, 0.9 * all)));
  }

  private static double quantile(List<Case> sorted, double weight) {
    double sum = 0.0;
    double before = sorted.get(0).minutes;
    for (Case c : sorted) {
      double middle = sum + 0.5 * c.weight;
      if (middle >= weight) {
        return c.minutes;
      }
      before = c.minutes;
      sum += c.weight;
    }
    return before;
  }

  /**
   * Minutes to the floor of a fall that goes at a rate now, while each mg/L that is lost brings k
   * mg/L a minute more: {@code −ln(1 − k (C − floor)/rate)/k}; below what fish want, the integral
   * of dC over the rate at C by the midpoint rule. At most {@link #HORIZON_MINUTES}.
   *
   * @param perMinute k, 1/min; not 0
   */
  static double fallMinutes(double mgPerL, double floorMgPerL, double rate, double perMinute) {
    if (mgPerL <= floorMgPerL) {
      return 0.0;
    }
    double bend = Math.max(floorMgPerL, Math.min(mgPerL, ALL_THEY_WANT_MG_PER_L));
    double left = 1.0 - perMinute * (mgPerL - bend) / rate;
    if (rate <= 0.0 || left <= 0.0) {
      return HORIZON_MINUTES;
    }
    double minutes = -Math.log(left) / perMinute;
    double step = (bend - floorMgPerL) / STEPS;
    for (int i = 0; i < STEPS && step > 0.0; i++) {
      double c = bend - (i + 0.5) * step;
      double there = rate * c / ALL_THEY_WANT_MG_PER_L - perMinute * (mgPerL - c);
      if (there <= 0.0) {
        return HORIZON_MINUTES;
      }
      minutes += step / there;
    }
    return Math.min(HORIZON_MINUTES, minutes);
  }
}
