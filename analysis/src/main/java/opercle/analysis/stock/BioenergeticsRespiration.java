// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.stock;

import opercle.analysis.ValidRange;

/**
 * Respiration in the published fish bioenergetics model set (Deslauriers et al. 2017, Fisheries
 * 42:586–596; parameters read).
 *
 * <pre>
 *   R = RA W^RB f(T) ACT     g of oxygen per g of fish per day, W in g;  mg/kg/h = R 10^6 / 24
 *   equation 1: f = exp(RQ T)
 *   equation 2: f = V^X exp(X (1 − V)),  V = (RTM − T)/(RTM − RTO),
 *               Z = ln(RQ)(RTM − RTO), Y = ln(RQ)(RTM − RTO + 2), X = Z²(1 + √(1 + 40/Y))²/400
 * </pre>
 *
 * <p>Equation 2 falls to nothing between RTO and RTM, as a fish's ability does; what it needs does
 * not fall. {@link #highestC()} is therefore RTO. Equation 1 has no published end; 25 °C is taken.
 * Temperatures below 0 °C are refused. The set has no common carp and no tench.
 */
public enum BioenergeticsRespiration {
  RAINBOW_TROUT_ADULT("Railsback & Rose 1999", 0.013, -0.217, 2.2, 22.0, 26.0, 1.3),
  PERCH("Karås & Thoresson 1992", 0.0108, -0.2, 2.8, 28.0, 33.0, 1.0),
  /** Swimming at unit speed: activity factor exp(0.1222). */
  PIKE_ADULT("Bevelhimer et al. 1985", 0.0026445, -0.18, 0.055, Math.exp(0.1222)),
  /** Fitted to small fish: gives adults too much above 15 °C. */
  ROACH("Karjalainen et al. 1997", 0.00101, -0.1273, 0.1188, 1.0),
  SILVER_CARP("Cooke & Hill 2010", 0.0028, -0.239, 0.076, 1.0),
  BIGHEAD_CARP("Cooke & Hill 2010", 0.0053, -0.299, 0.048, 1.0),
  /** At rest; the published set adds swimming at a speed of its own. */
  BROWN_TROUT_AT_REST("Dieterman & Anderson 2004", 0.0013, -0.269, 0.0938, 1.0);

  private static final double EXPONENTIAL_HIGHEST_C = 25.0;
  private static final double MG_PER_KG_HOUR_OF_G_PER_G_DAY = 1.0e6 / 24.0;

  private final String authors;
  private final double ra;
  private final double rb;
  private final double rq;
  private final double rto;
  private final double rtm;
  private final double activity;

  BioenergeticsRespiration(String authors, double ra, double rb, double rq, double activity) {
    this(authors, ra, rb, rq, Double.NaN, Double.NaN, activity);
  }

  BioenergeticsRespiration(
      String authors, double ra, double rb, double rq, double rto, double rtm, double activity) {
    this.authors = authors;
    this.ra = ra;
    this.rb = rb;
    this.rq = rq;
    this.rto = rto;
    this.rtm = rtm;
    this.activity = activity;
  }

  /** Who fitted the parameters. */
  public String authors() {
    return authors;
  }

  /** The activity factor of the published set; 1 where it is a resting rate. */
  public double activityFactor() {
    return activity;
  }

  /** The highest temperature at which the equation stands for what a fish needs, °C. */
  public double highestC() {
    return isExponential() ? EXPONENTIAL_HIGHEST_C : rto;
  }

  /**
   * Rate of one fish, per kilogram, with the set's activity factor.
   *
   * @param massKg body mass, kg
   * @param temperatureC water temperature, °C, from 0 to {@link #highestC()}
   * @return mg of oxygen per kg per hour
   * @throws IllegalArgumentException naming value and range, if the temperature is outside
   */
  public double mgPerKgPerHour(double massKg, double temperatureC) {
    return extended(
        massKg,
        new ValidRange(
                "bioenergetics respiration, " + authors, "temperature", 0.0, highestC(), "°C")
            .require(temperatureC));
  }

  /**
   * The same, carried on beyond its range: by the equation itself, but equation 2 is held above RTO
   * at its value there. Only for a caller that widens and labels the result.
   */
  double extended(double massKg, double temperatureC) {
    double grams = 1000.0 * massKg;
    double t = isExponential() ? temperatureC : Math.min(temperatureC, rto);
    return ra
        * Math.pow(grams, rb)
        * temperatureFactor(t)
        * activity
        * MG_PER_KG_HOUR_OF_G_PER_G_DAY;
  }

  private boolean isExponential() {
    return Double.isNaN(rtm);
  }

  private double temperatureFactor(double t) {
    if (isExponential()) {
      return Math.exp(rq * t);
    }
    double v = (rtm - t) / (rtm - rto);
    double z = Math.log(rq) * (rtm - rto);
    double y = Math.log(rq) * (rtm - rto + 2.0);
    double x = z * z * Math.pow(1.0 + Math.sqrt(1.0 + 40.0 / y), 2.0) / 400.0;
    return Math.pow(v, x) * Math.exp(x * (1.0 - v));
  }
}
