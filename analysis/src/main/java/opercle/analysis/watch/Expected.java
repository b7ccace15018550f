// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import opercle.analysis.Band;
import opercle.analysis.farm.Tank;
import opercle.analysis.stock.OxygenDemand;
import org.jspecify.annotations.Nullable;

/**
 * What may be expected of a fall before it has shown it: how fast it goes and how fast it slackens.
 *
 * <p>Where the supply is lost it goes at the load's demand, as the books have it, and slackens by
 * what the surface exchanges. A still open surface exchanges 0.05–0.3 1/h, that of a moving truck
 * 0.3–1 (mass balance notes, from memory, low confidence): a log-normal of which nine in ten lie
 * within 0.05–0.3, for a transport tank 0.06–1. Where part of the supply still works, the fall goes
 * at any part of the demand, and slackens by anything up to what the whole supply exchanged, evenly
 * on a logarithmic scale: a supply that just kept the level had k = D/(C*gas − C).
 *
 * @param surfacePerHour median of the surface's exchange, 1/h
 * @param surfaceSpread standard deviation of its logarithm
 * @param lost how likely the supply is lost altogether, 0–1
 * @param supplyPerHour the whole supply's exchange, 1/h
 * @param demandPerMinute what the books let the load take, (mg/L)/min; null where unknown
 */
record Expected(
    double surfacePerHour,
    double surfaceSpread,
    double lost,
    double supplyPerHour,
    @Nullable Band demandPerMinute) {

  /**
   * Standard deviations to the ends of the surface's quoted range, which is taken to hold nine in
   * ten: it is from memory, and of low confidence.
   */
  private static final double SURFACE_ENDS_SD = 1.6449;

  /** Oxygen against air, as what water takes up at saturation: 1 over 0.20946. */
  private static final double OXYGEN_OVER_AIR = 4.774;

  /** Gas and water are no nearer than this to one another, mg/L. */
  private static final double LEAST_DRIVE_MG_PER_L = 0.5;

  private static final double LEAST_PER_HOUR = 0.05;
  private static final double MOST_PER_HOUR = 6.0;

  /** How much a fall that quickens is expected, beside those that slacken (common practice). */
  private static final double QUICKENS = 0.05;

  /** How often fish are so roused, or so many, that the books' demand says nothing (the same). */
  static final double ROUSED = 0.1;

  /** Peak demand over quiet demand after severe handling: Svendsen et al. 2012 found 3.7. */
  private static final double WORST_HANDLING = 3.7;

  /**
   * Of a tank.
   *
   * @param supplyPerHour the whole supply's exchange; infinite where unknown
   */
  static Expected of(
      Tank.Kind kind, double lost, double supplyPerHour, @Nullable Band demandPerMinute) {
    double low = kind == Tank.Kind.TRANSPORT ? 0.06 : 0.05;
    double high = kind == Tank.Kind.TRANSPORT ? 1.0 : 0.3;
    return new Expected(
        Math.sqrt(low * high),
        Math.log(high / low) / (2.0 * SURFACE_ENDS_SD),
        lost,
        Math.max(LEAST_PER_HOUR, Math.min(MOST_PER_HOUR, supplyPerHour + high)),
        demandPerMinute);
  }

  /**
   * What a supply exchanges that just kept a level, 1/h.
   *
   * @param saturationMgPerL of the water with air
   * @param mgPerL the level
   * @param demandPerMinute what the load takes, (mg/L)/min
   */
  static double supplyPerHour(
      Tank.Gas gas, double saturationMgPerL, double mgPerL, Band demandPerMinute) {
    double full = saturationMgPerL * (gas == Tank.Gas.OXYGEN ? OXYGEN_OVER_AIR : 1.0);
    return 60.0 * demandPerMinute.high() / Math.max(LEAST_DRIVE_MG_PER_L, full - mgPerL);
  }

  /** Density over the logarithm of the exchange rate. */
  double exchangeDensity(double perHour) {
    if (perHour < 0.0) {
      return QUICKENS;
    }
    double surface = normal(Math.log(perHour / surfacePerHour), surfaceSpread);
    double partly =
        perHour >= LEAST_PER_HOUR && perHour <= supplyPerHour
            ? 1.0 / Math.log(supplyPerHour / LEAST_PER_HOUR + 1e-9)
            : 0.0;
    return (1.0 - QUICKENS) * (lost * surface + (1.0 - lost) * partly);
  }

  /** The surface's exchange at a quantile given in standard deviations, 1/h. */
  double surfaceAt(double z) {
    return surfacePerHour * Math.exp(z * surfaceSpread);
  }

  /** Density over the rate at which oxygen falls, (mg/L)/min; even where no demand is known. */
  double rateDensity(double perMinute) {
    @Nullable Band demand = demandPerMinute;
    if (demand == null || !(demand.low() > 0.0)) {
      return 1.0;
    }
    if (perMinute <= 0.0) {
      return 0.0;
    }
    double part = perMinute <= demand.high() ? 1.0 / demand.high() : 0.0;
    double most = WORST_HANDLING * demand.high();
    // Beyond that the books are wrong, or the fish are others: less and less likely, never never.
    double roused = Math.pow(Math.min(1.0, most / perMinute), 3.0) / (1.5 * most);
    return lostDensity(perMinute) + (1.0 - ROUSED) * (1.0 - lost) * part + ROUSED * roused;
  }

  /** That part of {@link #rateDensity} in which the whole supply is lost and the fish are quiet. */
  double lostDensity(double perMinute) {
    @Nullable Band demand = demandPerMinute;
    if (demand == null || !(demand.low() > 0.0)) {
      return lost;
    }
    if (perMinute <= 0.0) {
      return 0.0;
    }
    double off = Math.log(perMinute / demand.likely());
    double end = off < 0.0 ? demand.low() : demand.high();
    double spread = Math.abs(Math.log(end / demand.likely())) / OxygenDemand.ENDS_SD;
    return (1.0 - ROUSED) * lost * normal(off, Math.max(0.05, spread)) / perMinute;
  }

  private static double normal(double off, double spread) {
    double z = off / spread;
    return Math.exp(-0.5 * z * z) / (spread * Math.sqrt(2.0 * Math.PI));
  }
}
