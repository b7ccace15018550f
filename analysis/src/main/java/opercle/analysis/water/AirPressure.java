// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.water;

/** The pressure of the standard atmosphere. */
public final class AirPressure {

  /** One standard atmosphere, kPa. */
  public static final double ONE_ATMOSPHERE_KPA = 101.325;

  private AirPressure() {}

  /**
   * Pressure at an altitude in the standard atmosphere: ISO 2533 / US Standard Atmosphere 1976,
   * below 11 km.
   *
   * @param altitudeM metres above sea level, −500 to 5000
   * @return kPa absolute
   * @throws IllegalArgumentException naming value and range, if outside
   */
  public static double atAltitudeKPa(double altitudeM) {
    if (!(altitudeM >= -500.0 && altitudeM <= 5000.0)) {
      throw new IllegalArgumentException(
          "standard atmosphere: altitude %s m is outside -500–5000 m".formatted(altitudeM));
    }
    return ONE_ATMOSPHERE_KPA * Math.pow(1.0 - 2.25577e-5 * altitudeM, 5.25588);
  }
}
