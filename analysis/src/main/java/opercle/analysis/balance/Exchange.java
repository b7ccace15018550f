// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.balance;

/**
 * Oxygen exchange of a tank's water with the gas that is fed and with the air above it:
 *
 * <pre>
 *   dC/dt = kGas (C*gas − C) + kSurface (C*air − C) − D = k (Ceq − C) − D
 *   k = kGas + kSurface,   Ceq = (kGas C*gas + kSurface C*air) / k
 * </pre>
 *
 * <p>Two first-order terms add up to one, so everything that holds for one holds for both. Above
 * air saturation the surface term is negative: a tank on pure oxygen gasses off, and that is not
 * clamped away. The rates are those of the tank at hand and are found from its own data; a still
 * open surface is about 0.05–0.3 1/h, a moving lorry tank 0.3–1 1/h (from memory, low confidence).
 *
 * @param gasPerHour transfer coefficient of the diffuser, 1/h; 0 when the gas is off
 * @param gasSaturationMgPerL saturation against the gas that is fed, mg/L
 * @param surfacePerHour transfer coefficient of the surface, 1/h
 * @param airSaturationMgPerL saturation against air, mg/L
 */
public record Exchange(
    double gasPerHour,
    double gasSaturationMgPerL,
    double surfacePerHour,
    double airSaturationMgPerL) {

  public Exchange {
    require("gas transfer", gasPerHour, "1/h");
    require("saturation against the gas", gasSaturationMgPerL, "mg/L");
    require("surface transfer", surfacePerHour, "1/h");
    require("air saturation", airSaturationMgPerL, "mg/L");
  }

  /** The surface alone, with no gas fed. */
  public static Exchange surfaceOnly(double surfacePerHour, double airSaturationMgPerL) {
    return new Exchange(0.0, 0.0, surfacePerHour, airSaturationMgPerL);
  }

  /** The same tank with the gas off. */
  public Exchange withGasOff() {
    return surfaceOnly(surfacePerHour, airSaturationMgPerL);
  }

  /** Both together, 1/h. */
  public double perHour() {
    return gasPerHour + surfacePerHour;
  }

  /**
   * The level that water without fish would settle at, mg/L; air saturation where there is no
   * exchange at all.
   */
  public double equilibriumMgPerL() {
    double k = perHour();
    return k == 0.0
        ? airSaturationMgPerL
        : (gasPerHour * gasSaturationMgPerL + surfacePerHour * airSaturationMgPerL) / k;
  }

  /** Oxygen that comes in (or, if negative, goes out) at a level, mg/L/h. */
  public double rateMgPerLPerHour(double oxygenMgPerL) {
    return gasPerHour * (gasSaturationMgPerL - oxygenMgPerL)
        + surfacePerHour * (airSaturationMgPerL - oxygenMgPerL);
  }

  private static void require(String what, double value, String unit) {
    if (!(value >= 0.0 && Double.isFinite(value))) {
      throw new IllegalArgumentException(
          "oxygen exchange: %s must be a finite number >= 0 %s but was %s"
              .formatted(what, unit, value));
    }
  }
}
