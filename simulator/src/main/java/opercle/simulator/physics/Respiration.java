// SPDX-License-Identifier: Apache-2.0
package opercle.simulator.physics;

import opercle.analysis.stock.Species;

/**
 * What one quiet, unfed fish breathes, mg/kg/h.
 *
 * <p>Sources: the parameter sets of the published fish bioenergetics models as collected by
 * Deslauriers et al. (2017), Fisheries 42:586–596 (respiration equations 1 and 2), and for carp the
 * resting rates measured by Ott, Heisler &amp; Ultsch (1980), Comp. Biochem. Physiol. 67A:337–340,
 * times 1.45 for routine activity. Where a species has no set of its own the nearest relative's is
 * taken; that, and the ends beyond the measured temperatures, are our construction and said so.
 * Water 0–30 °C.
 */
public sealed interface Respiration {

  /**
   * Routine rate.
   *
   * @param massG body mass, g
   * @param temperatureC water, 0–30 °C
   * @return mg of oxygen per kg of fish per hour
   */
  double mgPerKgPerHour(double massG, double temperatureC);

  /** Respiration of a species. */
  static Respiration of(Species species) {
    return SpeciesRates.of(species);
  }

  /**
   * Respiration equation 1: RA·W^RB·exp(RQ·T)·activity, in g of oxygen per g of fish per day.
   *
   * @param ra intercept
   * @param rb exponent of mass
   * @param rq temperature coefficient, 1/°C
   * @param activity factor for swimming, at least 1
   */
  record Exponential(double ra, double rb, double rq, double activity) implements Respiration {
    @Override
    public double mgPerKgPerHour(double massG, double temperatureC) {
      return ra * Math.pow(massG, rb) * Math.exp(rq * temperatureC) * activity * 1e6 / 24.0;
    }
  }

  /**
   * Respiration equation 2 (Kitchell's): rises to an optimum RTO and falls to nothing at RTM.
   *
   * @param ra intercept
   * @param rb exponent of mass
   * @param rq slope of the rise
   * @param rto optimum, °C
   * @param rtm lethal maximum, °C
   * @param activity factor for swimming, at least 1
   */
  record Dome(double ra, double rb, double rq, double rto, double rtm, double activity)
      implements Respiration {
    @Override
    public double mgPerKgPerHour(double massG, double temperatureC) {
      double v = (rtm - Math.min(temperatureC, rtm)) / (rtm - rto);
      double z = Math.log(rq) * (rtm - rto);
      double y = Math.log(rq) * (rtm - rto + 2.0);
      double root = 1.0 + Math.sqrt(1.0 + 40.0 / y);
      double x = z * z * root * root / 400.0;
      double f = Math.pow(v, x) * Math.exp(x * (1.0 - v));
      return ra * Math.pow(massG, rb) * f * activity * 1e6 / 24.0;
    }
  }

  /**
   * Brown trout, Dieterman &amp; Anderson (2004): equation 1 with activity from the swimming speed
   * 9.7·W^0.13·exp(0.0405·T) cm/s.
   */
  record Swimming() implements Respiration {
    @Override
    public double mgPerKgPerHour(double massG, double temperatureC) {
      double speed = 9.7 * Math.pow(massG, 0.13) * Math.exp(0.0405 * temperatureC);
      double activity = Math.exp(0.0234 * speed);
      return new Exponential(0.0013, -0.269, 0.0938, activity).mgPerKgPerHour(massG, temperatureC);
    }
  }

  /**
   * Resting rates measured on carp of 1.3–1.6 kg at 5, 10, 15 and 25 °C, log-linear between, times
   * 1.45 and a factor for the species; the first and last slopes carry on beyond the ends. Mass
   * exponent −0.106 (Beamish 1964, carp).
   *
   * @param factor against carp
   */
  record MeasuredCarp(double factor) implements Respiration {
    private static final double[] AT_C = {5.0, 10.0, 15.0, 25.0};
    private static final double[] LN_RESTING = {
      Math.log(14.9), Math.log(30.7), Math.log(53.4), Math.log(83.9)
    };
    private static final double MEASURED_AT_G = 1500.0;
    private static final double ROUTINE_OVER_RESTING = 1.45;

    @Override
    public double mgPerKgPerHour(double massG, double temperatureC) {
      int i = temperatureC < 10.0 ? 0 : temperatureC < 15.0 ? 1 : 2;
      double w = (temperatureC - AT_C[i]) / (AT_C[i + 1] - AT_C[i]);
      double resting = Math.exp(LN_RESTING[i] + w * (LN_RESTING[i + 1] - LN_RESTING[i]));
      double mass = Math.pow(massG / MEASURED_AT_G, -0.106);
      return factor * resting * ROUTINE_OVER_RESTING * mass;
    }
  }

  /**
   * One rate, whatever the water: for checking against worked examples.
   *
   * @param rate mg/kg/h
   */
  record Fixed(double rate) implements Respiration {
    @Override
    public double mgPerKgPerHour(double massG, double temperatureC) {
      return rate;
    }
  }
}
