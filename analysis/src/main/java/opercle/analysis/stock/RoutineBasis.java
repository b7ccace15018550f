// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.stock;

import java.util.EnumMap;
import java.util.Map;

/**
 * Which published curve the routine demand of a species stands on, and how far its band reaches.
 *
 * @param low lower end
 * @param likely the curve
 * @param high upper end
 * @param lowestC lowest temperature that the curve is published for, °C
 * @param highestC highest, °C
 * @param evidence where the curve comes from
 */
record RoutineBasis(
    Curve low, Curve likely, Curve high, double lowestC, double highestC, Evidence evidence) {

  /** A rate per kilogram, mg/kg/h, by body mass, kg, and temperature, °C; defined everywhere. */
  @FunctionalInterface
  interface Curve {
    double at(double massKg, double temperatureC);

    default Curve times(double factor) {
      return (massKg, temperatureC) -> factor * at(massKg, temperatureC);
    }

    default Curve orIfGreater(Curve other) {
      return (massKg, temperatureC) ->
          Math.max(at(massKg, temperatureC), other.at(massKg, temperatureC));
    }
  }

  /** No published curve was found for a species that is taken as a relative: how much wider. */
  private static final double UNKNOWN = 1.25;

  private static final Curve CYPRINID = Winberg1956.CYPRINIDS::extended;

  /**
   * Juvenile carp of 7 g at 15 °C breathed a quarter of the curve (Fu et al. 2014), of 25 g at 24
   * °C, fed, four fifths (De Boeck et al. 2000): under 50 g the low end is brought down to that.
   */
  private static final Curve CYPRINID_LOW =
      (massKg, temperatureC) -> (massKg < 0.05 ? 0.22 : 0.65) * CYPRINID.at(massKg, temperatureC);

  private static final Map<Species, RoutineBasis> BY_SPECIES = new EnumMap<>(Species.class);

  static {
    String winberg = "Winberg 1956 with Krogh's factors";
    // The high end covers twice the practice figure of 40 mg/kg/h at 10 °C, less a little.
    BY_SPECIES.put(Species.COMMON_CARP, cyprinid(1.0, Evidence.fromMemory(winberg)));
    // The roach set of Karjalainen et al. agrees within a fifth up to 15 °C; above, it runs away.
    BY_SPECIES.put(Species.ROACH, cyprinid(1.0, Evidence.fromMemory(winberg + ", cyprinids")));
    BY_SPECIES.put(
        Species.TENCH,
        cyprinid(
            UNKNOWN, Evidence.fromMemory("taken as common carp, no published value; " + winberg)));
    for (Species like : new Species[] {Species.BREAM, Species.RUDD}) {
      BY_SPECIES.put(
          like,
          cyprinid(UNKNOWN, Evidence.fromMemory("taken as roach, no published value; " + winberg)));
    }
    // Ten measurements of 16–678 g fish at 6–25 °C lie at 0.32–0.59 of the cyprinid curve.
    BY_SPECIES.put(
        Species.CRUCIAN_CARP,
        new RoutineBasis(
            CYPRINID.times(0.3),
            CYPRINID.times(0.5),
            CYPRINID,
            KroghFactor.LOWEST_C,
            25.0,
            Evidence.derived(
                "half of Winberg's cyprinid curve, as Sollid et al. 2005 and others measured")));

    Curve rainbow = BioenergeticsRespiration.RAINBOW_TROUT_ADULT::extended;
    // Low: Ott's resting rate is 0.6–0.7 of it. High: the trade's "twice carp" and Shi et al. 2018.
    BY_SPECIES.put(
        Species.RAINBOW_TROUT,
        new RoutineBasis(
            rainbow.times(0.6),
            rainbow,
            rainbow.times(1.7),
            5.0,
            BioenergeticsRespiration.RAINBOW_TROUT_ADULT.highestC(),
            Evidence.read("Railsback & Rose 1999 in the fish bioenergetics set")));
    // Its own published set lies lower (0.3 at rest, 0.6 swimming): kept as the low end only.
    BY_SPECIES.put(
        Species.BROWN_TROUT,
        new RoutineBasis(
            rainbow.times(0.4),
            rainbow,
            rainbow.times(1.7 * UNKNOWN),
            5.0,
            BioenergeticsRespiration.RAINBOW_TROUT_ADULT.highestC(),
            Evidence.derived("taken as rainbow trout: its own published set is lower")));

    Curve perch = BioenergeticsRespiration.PERCH::extended;
    // Low: Thuy et al. 2010 measured 0.6 of it. In the cold the model is near rest, so high is at
    // least the cyprinid curve.
    BY_SPECIES.put(
        Species.PERCH,
        new RoutineBasis(
            perch.times(0.55),
            perch,
            perch.times(1.7).orIfGreater(CYPRINID),
            5.0,
            BioenergeticsRespiration.PERCH.highestC(),
            Evidence.read("Karås & Thoresson 1992 in the fish bioenergetics set")));
    Curve pike = BioenergeticsRespiration.PIKE_ADULT::extended;
    // Nothing measured to hold it against: wide.
    BY_SPECIES.put(
        Species.PIKE,
        new RoutineBasis(
            pike.times(0.55),
            pike,
            pike.times(1.8),
            5.0,
            BioenergeticsRespiration.PIKE_ADULT.highestC(),
            Evidence.read("Bevelhimer et al. 1985 in the fish bioenergetics set")));
  }

  static RoutineBasis of(Species species) {
    RoutineBasis basis = BY_SPECIES.get(species);
    if (basis == null) {
      throw new IllegalStateException("no routine demand for " + species.id());
    }
    return basis;
  }

  private static RoutineBasis cyprinid(double widening, Evidence evidence) {
    return new RoutineBasis(
        CYPRINID_LOW.times(1.0 / widening),
        CYPRINID,
        CYPRINID.times(1.6 * widening),
        KroghFactor.LOWEST_C,
        KroghFactor.HIGHEST_C,
        evidence);
  }
}
