// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import opercle.analysis.farm.Tank;

/**
 * How fast a fall may be expected to slacken before it has shown so: what the surface exchanges,
 * and where the supply may not be lost, whatever of it still works.
 *
 * <p>A still open surface exchanges 0.05–0.3 1/h, that of a moving truck 0.3–1 (mass balance notes,
 * from memory, low confidence): a log-normal whose middle 80 % is 0.05–0.3, for a transport tank
 * 0.06–1. A supply that just kept the level before has k = D/(C*gas − C): what is left of it adds
 * anything up to that, evenly on a logarithmic scale.
 *
 * @param surfacePerHour median of the surface's exchange, 1/h
 * @param surfaceSpread standard deviation of its logarithm
 * @param lost how likely the supply is lost altogether, 0–1
 * @param supplyPerHour the whole supply's exchange, 1/h
 */
record Slackening(double surfacePerHour, double surfaceSpread, double lost, double supplyPerHour) {

  private static final double EIGHTY_PERCENT = 1.2816;
  private static final double LEAST_PER_HOUR = 0.05;
  private static final double MOST_PER_HOUR = 6.0;

  /** How much a fall that quickens is expected, beside those that slacken (common practice). */
  private static final double QUICKENS = 0.05;

  static Slackening of(Tank.Kind kind, double lost, double supplyPerHour) {
    double low = kind == Tank.Kind.TRANSPORT ? 0.06 : 0.05;
    double high = kind == Tank.Kind.TRANSPORT ? 1.0 : 0.3;
    return new Slackening(
        Math.sqrt(low * high),
        Math.log(high / low) / (2.0 * EIGHTY_PERCENT),
        lost,
        Math.max(LEAST_PER_HOUR, Math.min(MOST_PER_HOUR, supplyPerHour + high)));
  }

  /** Density over the logarithm of the exchange rate. */
  double density(double perHour) {
    if (perHour < 0.0) {
      return QUICKENS;
    }
    double z = Math.log(perHour / surfacePerHour) / surfaceSpread;
    double surface = Math.exp(-0.5 * z * z) / (surfaceSpread * Math.sqrt(2.0 * Math.PI));
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
}
