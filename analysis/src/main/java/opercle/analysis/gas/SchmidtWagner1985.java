// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.gas;

import opercle.analysis.ValidRange;

/**
 * Equation of state of oxygen, used here for the gas in cylinders and for its density at low
 * pressure.
 *
 * <p>Schmidt &amp; Wagner (1985), Fluid Phase Equilib. 19, 175–200: residual Helmholtz energy in 32
 * terms of the reduced density δ = ρ/ρc and the inverse reduced temperature τ = Tc/T. The equation
 * holds far beyond this; here −40 to 60 °C and up to 350 bar, where oxygen is one supercritical
 * fluid and the pressure rises steadily with the density. Coefficients from memory; they reproduce
 * 112 library values of Z, −10–30 °C and 1–231 bar, to their last printed digit. Stateless.
 */
final class SchmidtWagner1985 {

  /** Molar mass of oxygen, g/mol. */
  static final double GRAMS_PER_MOLE = 31.9988;

  private static final String NAME = "oxygen, Schmidt & Wagner (1985)";
  private static final ValidRange TEMPERATURE =
      new ValidRange(NAME, "temperature", -40.0, 60.0, "°C");
  private static final ValidRange PRESSURE =
      new ValidRange(NAME, "absolute pressure", 0.0, 35_000.0, "kPa");

  private static final double CRITICAL_K = 154.581;
  private static final double CRITICAL_MOL_PER_L = 13.63;
  private static final double GAS_CONSTANT = 8.31434; // J/(mol K), as in the paper

  /** Terms 1–13 have no exponential, 14–24 have exp(−δ²), 25–32 exp(−δ⁴). */
  private static final int FIRST_SQUARE = 13;

  private static final int FIRST_FOURTH = 24;

  private static final double[] N = {
    0.3983768749, -1.846157454, 0.4183473197, 0.2370620711e-1, 0.9771730573e-1,
    0.3017891294e-1, 0.2273353212e-1, 0.1357254086e-1, -0.4052698943e-1, 0.5454628515e-3,
    0.5113182277e-3, 0.2953466883e-6, -0.8687645072e-4, -0.2127082589, 0.8735941958e-1,
    0.1275509190, -0.9067701064e-1, -0.3540084206e-1, -0.3623278059e-1, 0.1327699290e-1,
    -0.3254111865e-3, -0.8313582932e-2, 0.2124570559e-2, -0.8325206232e-3, -0.2626173276e-4,
    0.2599581482e-2, 0.9984649663e-2, 0.2199923153e-2, -0.2591350486e-1, -0.1259630848,
    0.1478355637, -0.1011251078e-1
  };
  private static final int[] D = {
    1, 1, 1, 2, 2, 2, 3, 3, 3, 6, 7, 7, 8, 1, 1, 2, 2, 3, 3, 5, 6, 7, 8, 10, 2, 3, 3, 4, 4, 5, 5, 5
  };
  private static final double[] T = {
    0, 1.5, 2.5, -0.5, 1.5, 2, 0, 1, 2.5, 0, 2, 5, 2, 5, 6, 3.5, 5.5, 3, 7, 6, 8.5, 4, 6.5, 5.5, 22,
    11, 18, 11, 23, 17, 18, 23
  };

  private SchmidtWagner1985() {}

  /** Density of oxygen, g/L, at a temperature (°C) and an absolute pressure (kPa). */
  static double densityGPerL(double temperatureC, double pressureKPa) {
    double kelvin = TEMPERATURE.require(temperatureC) + 273.15;
    return GRAMS_PER_MOLE * molPerL(kelvin, PRESSURE.require(pressureKPa));
  }

  /** Compressibility factor Z = p/(ρRT) at a temperature (°C) and an absolute pressure (kPa). */
  static double compressibility(double temperatureC, double pressureKPa) {
    double kelvin = TEMPERATURE.require(temperatureC) + 273.15;
    return z(kelvin, molPerL(kelvin, PRESSURE.require(pressureKPa)));
  }

  /** Absolute pressure, kPa, of oxygen of a density (g/L) at a temperature (°C). */
  static double pressureKPa(double temperatureC, double densityGPerL) {
    double kelvin = TEMPERATURE.require(temperatureC) + 273.15;
    return PRESSURE.require(pressure(kelvin, densityGPerL / GRAMS_PER_MOLE));
  }

  /** Newton's method from the ideal gas; pressure is smooth and rising in density here. */
  private static double molPerL(double kelvin, double pressureKPa) {
    double density = pressureKPa / (GAS_CONSTANT * kelvin);
    for (int i = 0; i < 50; i++) {
      double step = 1e-6 * density + 1e-12;
      double here = pressure(kelvin, density);
      double slope = (pressure(kelvin, density + step) - here) / step;
      double next = density - (here - pressureKPa) / slope;
      if (Math.abs(next - density) <= 1e-10 * density) {
        return next;
      }
      density = next;
    }
    throw new IllegalStateException(
        NAME + ": no density found for " + pressureKPa + " kPa at " + kelvin + " K");
  }

  private static double pressure(double kelvin, double molPerL) {
    return molPerL * GAS_CONSTANT * kelvin * z(kelvin, molPerL);
  }

  /** Z = 1 + δ ∂φʳ/∂δ. */
  private static double z(double kelvin, double molPerL) {
    double delta = molPerL / CRITICAL_MOL_PER_L;
    double tau = CRITICAL_K / kelvin;
    double square = delta * delta;
    double fourth = square * square;
    double sum = 1.0;
    for (int i = 0; i < N.length; i++) {
      double term = N[i] * Math.pow(delta, D[i]) * Math.pow(tau, T[i]);
      if (i < FIRST_SQUARE) {
        sum += term * D[i];
      } else if (i < FIRST_FOURTH) {
        sum += term * Math.exp(-square) * (D[i] - 2.0 * square);
      } else {
        sum += term * Math.exp(-fourth) * (D[i] - 4.0 * fourth);
      }
    }
    return sum;
  }
}
