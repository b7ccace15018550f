// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.stock;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import opercle.analysis.Band;
import opercle.analysis.ValidRange;

/**
 * What fish breathe, by species, body mass and temperature, low / likely / high.
 *
 * <p><i>Routine</i> is quiet, unfed fish that move a little: what a settled load takes.
 * <i>Resting</i> is the least a fish can live on, as measured in quiet boxes. Handling ({@link
 * HandlingStress}) and food ({@link Feeding}) come on top of routine.
 *
 * <p>Which published curve stands behind a species is said by {@link DemandEstimate#evidence()};
 * {@code docs/science} has the table. Beyond a curve's published temperatures the estimate is
 * carried on along its slope, its band is widened by 4 % per degree, and a note says so: a tank
 * watch must go on counting where fish still live, but never silently. Beyond {@value #LOWEST_C} to
 * {@value #HIGHEST_C} °C, where none of these fish live, it refuses.
 */
public final class OxygenDemand {

  /** The coldest water that an estimate is given for, °C. */
  public static final double LOWEST_C = -1.0;

  /** The warmest water that an estimate is given for, °C. */
  public static final double HIGHEST_C = 38.0;

  /** The smallest fish that an estimate is given for, kg. */
  public static final double LIGHTEST_KG = 0.0001;

  /** The largest fish that an estimate is given for, kg. */
  public static final double HEAVIEST_KG = 50.0;

  /**
   * How far from the likely rate the ends of a routine band are, in standard deviations of a
   * log-normal on either side. The twenty routine rates that were measured in carp, crucian carp,
   * perch and trout (seven studies, 6–25 °C, 7–131 g) scatter about the likely curve by 0.51 of the
   * way to the end on their side, root mean square: so the ends are some two standard deviations
   * off and hold nineteen in twenty. Eight of the twenty are of one study of trout; each study
   * weighed once gives 1.62. The larger was kept as simulated nights bear it out. Of larger fish,
   * and of the species that nobody measured, it is taken to be the same (<i>common practice</i>).
   */
  public static final double ENDS_SD = 1.97;

  private static final ValidRange TEMPERATURE =
      new ValidRange("oxygen demand", "temperature", LOWEST_C, HIGHEST_C, "°C");
  private static final ValidRange MASS = // in grams, so that the smallest is a plain number
      new ValidRange("oxygen demand", "mean mass", 1000.0 * LIGHTEST_KG, 1000.0 * HEAVIEST_KG, "g");

  /** Body masses that the curves were drawn from; beyond them the band is widened by half. */
  private static final double LIGHTEST_KNOWN_KG = 0.005;

  private static final double HEAVIEST_KNOWN_KG = 15.0;
  private static final double WIDENING_BEYOND_KNOWN_MASS = 1.5;

  private static final double WIDENING_PER_DEGREE = 0.04;

  /** Routine over rest in carp at 10 °C: Winberg's 45 over Ott's 31 mg/kg/h. */
  private static final double ROUTINE_OVER_REST = 1.45;

  private OxygenDemand() {}

  /**
   * Routine demand per kilogram of fish.
   *
   * @param species whose
   * @param meanMassKg mean body mass, kg
   * @param temperatureC water temperature, °C
   * @return mg of oxygen per kg of fish per hour
   * @throws IllegalArgumentException naming value and range, if mass or temperature is outside
   */
  public static Band routineMgPerKgPerHour(
      Species species, double meanMassKg, double temperatureC) {
    return routine(species, meanMassKg, temperatureC).mgPerKgPerHour();
  }

  /**
   * Routine demand, with its source and what it was widened for.
   *
   * @param species whose
   * @param meanMassKg mean body mass, kg
   * @param temperatureC water temperature, °C
   * @throws IllegalArgumentException naming value and range, if mass or temperature is outside
   */
  public static DemandEstimate routine(Species species, double meanMassKg, double temperatureC) {
    TEMPERATURE.require(temperatureC);
    requireMass(meanMassKg);
    RoutineBasis basis = RoutineBasis.of(species);
    double likely = basis.likely().at(meanMassKg, temperatureC);
    Band band =
        new Band(
            Math.min(likely, basis.low().at(meanMassKg, temperatureC)),
            likely,
            Math.max(likely, basis.high().at(meanMassKg, temperatureC)));
    List<String> notes = new ArrayList<>();
    double outside = degreesOutside(temperatureC, basis.lowestC(), basis.highestC());
    if (outside > 0.0) {
      notes.add(beyond(species, "routine", temperatureC, basis.lowestC(), basis.highestC()));
    }
    addBeyondSurvival(notes, species, temperatureC);
    double massWidening = 1.0;
    if (!(meanMassKg >= LIGHTEST_KNOWN_KG && meanMassKg <= HEAVIEST_KNOWN_KG)) {
      massWidening = WIDENING_BEYOND_KNOWN_MASS;
      notes.add(
          "%s: fish of %s kg are beyond the %s–%s kg that the rate is known for; widened."
              .formatted(species.commonName(), meanMassKg, LIGHTEST_KNOWN_KG, HEAVIEST_KNOWN_KG));
    }
    return new DemandEstimate(
        widened(band, massWidening * (1.0 + WIDENING_PER_DEGREE * outside)),
        basis.evidence(),
        notes);
  }

  /**
   * Resting demand: measured for carp and rainbow trout, for the others routine over 1.45.
   *
   * @param species whose
   * @param meanMassKg mean body mass, kg
   * @param temperatureC water temperature, °C
   * @throws IllegalArgumentException naming value and range, if mass or temperature is outside
   */
  public static DemandEstimate resting(Species species, double meanMassKg, double temperatureC) {
    TEMPERATURE.require(temperatureC);
    requireMass(meanMassKg);
    return switch (species) {
      case COMMON_CARP -> measured(species, Ott1980.COMMON_CARP, meanMassKg, temperatureC);
      case RAINBOW_TROUT -> measured(species, Ott1980.RAINBOW_TROUT, meanMassKg, temperatureC);
      default -> {
        DemandEstimate routine = routine(species, meanMassKg, temperatureC);
        yield new DemandEstimate(
            routine.mgPerKgPerHour().times(1.0 / ROUTINE_OVER_REST),
            Evidence.derived("routine over 1.45, as in carp at 10 °C; no published value"),
            routine.notes());
      }
    };
  }

  private static DemandEstimate measured(
      Species species, Ott1980 ott, double meanMassKg, double temperatureC) {
    double likely = ott.extended(meanMassKg, temperatureC);
    List<String> notes = new ArrayList<>();
    double outside = degreesOutside(temperatureC, ott.lowestC(), ott.highestC());
    if (outside > 0.0) {
      notes.add(beyond(species, "resting", temperatureC, ott.lowestC(), ott.highestC()));
    }
    addBeyondSurvival(notes, species, temperatureC);
    // A fifth either way: the spread between the studies of trout at 10 °C and between exponents.
    Band band = new Band(likely / 1.2, likely, likely * 1.2);
    return new DemandEstimate(
        widened(band, 1.0 + WIDENING_PER_DEGREE * outside),
        Evidence.read("Ott, Heisler & Ultsch 1980"),
        notes);
  }

  private static Band widened(Band band, double factor) {
    return new Band(band.low() / factor, band.likely(), band.high() * factor);
  }

  private static double degreesOutside(double value, double low, double high) {
    return Math.max(0.0, Math.max(low - value, value - high));
  }

  private static String beyond(
      Species species, String level, double temperatureC, double low, double high) {
    return String.format(
        Locale.ROOT,
        "%s: %.1f °C is outside the %.0f–%.0f °C that the %s rate is known for;"
            + " carried on and widened.",
        species.commonName(),
        temperatureC,
        low,
        high,
        level);
  }

  private static void addBeyondSurvival(List<String> notes, Species species, double temperatureC) {
    Figure lethal = TemperatureLimits.upperLethalC(species);
    if (temperatureC > lethal.value().high()) {
      notes.add(
          String.format(
              Locale.ROOT,
              "%s: %.1f °C is above what it survives, %.0f–%.0f °C.",
              species.commonName(),
              temperatureC,
              lethal.value().low(),
              lethal.value().high()));
    }
  }

  /** Refuses a mean body mass, kg, that no estimate is given for. */
  static void requireMass(double meanMassKg) {
    MASS.require(1000.0 * meanMassKg);
  }
}
