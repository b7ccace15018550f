// SPDX-License-Identifier: Apache-2.0
package opercle.simulator.physics;

/**
 * An oxygen cylinder as an amount of real gas in a volume; gauge pressure follows from amount and
 * temperature. One thread only.
 *
 * <p>Equation of state: virial, Z = 1 + B(T)·ρ + C(T)·ρ² with molar density ρ. B and C were fitted
 * to oxygen compressibility computed with the Schmidt &amp; Wagner (1985) equation, −10 to 30 °C
 * and 0 to 230 bar; largest difference of Z 0.0015.
 */
public final class GasCylinder {

  /** The highest pressure that the fit below was made for, bar gauge. */
  static final double MOST_BAR = 230.0;

  private static final double BAR_CM3_PER_MOL_K = 83.14463;
  private static final double ATMOSPHERE_BAR = 1.01325;

  /** Molar volume at 15 °C and 101.325 kPa, to which every flow is referred, L/mol. */
  static final double REFERENCE_L_PER_MOL = BAR_CM3_PER_MOL_K * 288.15 / ATMOSPHERE_BAR / 1000.0;

  private final double waterLitres;
  private double mol;

  private GasCylinder(double waterLitres, double mol) {
    this.waterLitres = waterLitres;
    this.mol = mol;
  }

  /**
   * A cylinder that shows a given pressure.
   *
   * @param waterLitres water volume, L
   * @param gaugeBar 0–230 bar gauge
   * @param temperatureC −10 to 30 °C
   */
  public static GasCylinder at(double waterLitres, double gaugeBar, double temperatureC) {
    if (!(gaugeBar >= 0.0 && gaugeBar <= MOST_BAR)) {
      throw new IllegalArgumentException(
          "simulated cylinder: pressure %s bar is outside 0–%s bar gauge"
              .formatted(gaugeBar, MOST_BAR));
    }
    double low = 0.0;
    double high = 0.015; // mol/cm³, beyond 230 bar at any of these temperatures
    for (int i = 0; i < 60; i++) {
      double middle = 0.5 * (low + high);
      if (absoluteBar(middle, temperatureC) < gaugeBar + ATMOSPHERE_BAR) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return new GasCylinder(waterLitres, low * 1000.0 * waterLitres);
  }

  /** Its water volume, L. */
  double waterLitres() {
    return waterLitres;
  }

  /** The same cylinder from here on. */
  public GasCylinder copy() {
    return new GasCylinder(waterLitres, mol);
  }

  /** Pressure, bar gauge. */
  public double gaugeBar(double temperatureC) {
    return absoluteBar(mol / (1000.0 * waterLitres), temperatureC) - ATMOSPHERE_BAR;
  }

  /** All the gas in it, litres at 15 °C and 101.325 kPa, of which one cylinder volume stays. */
  public double freeLitres() {
    return mol * REFERENCE_L_PER_MOL;
  }

  /** Takes gas out; never more than is there. */
  void draw(double litres) {
    mol = Math.max(0.0, mol - litres / REFERENCE_L_PER_MOL);
  }

  private static double absoluteBar(double molPerCm3, double temperatureC) {
    double d = temperatureC - 15.0;
    double b = -18.8886 + d * (0.236558 - d * 8.80623e-4);
    double c = 1255.54 - 3.86244 * d;
    double z = 1.0 + molPerCm3 * (b + c * molPerCm3);
    return molPerCm3 * BAR_CM3_PER_MOL_K * (temperatureC + 273.15) * z;
  }
}
