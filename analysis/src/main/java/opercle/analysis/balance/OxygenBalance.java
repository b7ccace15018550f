// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.balance;

/**
 * Where the oxygen of a tank settles, and what gas would hold it at a level. Closed forms of
 *
 * <pre>
 *   dC/dt = kGas (C*gas − C) + kSurface (C*air − C) − D
 * </pre>
 *
 * <p>for a demand D that stays. See {@link FadingDemand} for freshly loaded fish and {@link Course}
 * for anything that changes on the way. Pure; mg/L, 1/h.
 */
public final class OxygenBalance {

  private OxygenBalance() {}

  /**
   * The level at which what comes in equals what is taken.
   *
   * @param exchange of gas and surface; together above 0 1/h
   * @param demandMgPerLPerHour demand, less any constant supply
   * @return mg/L; zero or below says that this supply cannot meet the demand
   * @throws IllegalArgumentException where there is no exchange: then nothing settles
   */
  public static double steadyMgPerL(Exchange exchange, double demandMgPerLPerHour) {
    double k = exchange.perHour();
    if (!(k > 0.0)) {
      throw new IllegalArgumentException(
          "oxygen balance: a level settles only with exchange above 0 1/h but it was " + k);
    }
    return exchange.equilibriumMgPerL() - demandMgPerLPerHour / k;
  }

  /**
   * The gas transfer that holds a level.
   *
   * @param levelMgPerL the level to hold, mg/L
   * @param exchange with the gas's saturation and the surface; its own gas transfer is not used
   * @param demandMgPerLPerHour demand, mg/L/h
   * @return kGas, 1/h; 0 where the surface alone holds it; infinite where this gas never can
   */
  public static double gasPerHourToHold(
      double levelMgPerL, Exchange exchange, double demandMgPerLPerHour) {
    double missing = demandMgPerLPerHour - exchange.withGasOff().rateMgPerLPerHour(levelMgPerL);
    if (missing <= 0.0) {
      return 0.0;
    }
    double driving = exchange.gasSaturationMgPerL() - levelMgPerL;
    return driving > 0.0 ? missing / driving : Double.POSITIVE_INFINITY;
  }
}
