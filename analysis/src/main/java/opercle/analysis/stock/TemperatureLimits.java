// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.stock;

import opercle.analysis.Band;

/** The warmest water that fish survive and may be moved in, °C. */
public final class TemperatureLimits {

  /**
   * How far under the lowest lethal figure a load must stay, K (<i>common practice</i>): stressed
   * fish, and a lethal figure is where half of rested, accustomed fish die.
   */
  private static final double MARGIN_K = 5.0;

  private static final Evidence TEXTBOOK = Evidence.fromMemory("textbook upper lethal temperature");

  private TemperatureLimits() {}

  /** Upper lethal temperature of accustomed fish, °C. All from memory. */
  public static Figure upperLethalC(Species species) {
    return switch (species) {
      case COMMON_CARP, TENCH -> lethal(35.0, 36.5, 38.0);
      case CRUCIAN_CARP -> lethal(36.0, 37.0, 38.0);
      case BREAM -> lethal(33.0, 34.0, 35.0);
      case ROACH -> lethal(31.0, 32.5, 34.0);
      case RUDD -> lethal(33.0, 34.5, 36.0);
      case PERCH, PIKE -> lethal(30.0, 31.5, 33.0);
      case RAINBOW_TROUT -> lethal(25.0, 25.5, 26.0);
      case BROWN_TROUT -> lethal(23.0, 24.0, 25.0);
    };
  }

  /**
   * The temperatures that fish are best moved at: from winter's low to summer's high, °C. Berka
   * (1986), EIFAC Technical Paper 48, from memory: warm-water fish 1–2 winter, 5–6 spring and
   * autumn, 10–12 summer; cold-water fish 1–2, 3–5, 6–8.
   */
  public static Figure bestForTransportC(Species species) {
    Band range =
        species.group() == Species.Group.TROUT ? new Band(1.0, 4.0, 8.0) : new Band(1.0, 5.5, 12.0);
    return new Figure(range, "°C", Evidence.fromMemory("Berka 1986, EIFAC Technical Paper 48"));
  }

  /** Above this, move fish with care only, °C. */
  public static Figure careAboveC(Species species) {
    double limit =
        switch (species.group()) {
          case CYPRINID -> 18.0;
          case PERCH_AND_PIKE -> 16.0;
          case TROUT -> 15.0;
        };
    return new Figure(
        Band.exactly(limit), "°C", Evidence.commonPractice("moving fish in warm water"));
  }

  /** Above this, do not move fish, °C: 5 K under the lowest lethal figure. */
  public static Figure stopAboveC(Species species) {
    return new Figure(
        Band.exactly(upperLethalC(species).value().low() - MARGIN_K),
        "°C",
        Evidence.commonPractice("5 °C under the upper lethal temperature"));
  }

  private static Figure lethal(double low, double likely, double high) {
    return new Figure(new Band(low, likely, high), "°C", TEXTBOOK);
  }
}
