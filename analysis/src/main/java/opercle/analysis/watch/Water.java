// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.util.List;
import java.util.OptionalDouble;
import opercle.analysis.Band;
import opercle.analysis.farm.Tank;
import opercle.analysis.stock.OxygenDemand;
import opercle.analysis.stock.Species;
import opercle.analysis.water.AirPressure;
import opercle.analysis.water.BensonKrause1984;
import opercle.analysis.water.OxygenSolubility;
import opercle.ingest.reading.Quantity;
import org.jspecify.annotations.Nullable;

/**
 * The water of one tank: saturation and the load's demand at the newest temperature, salinity and
 * air pressure. Without a reading, salinity is 0 and pressure that of the farm's altitude. What is
 * outside a formula's range is unknown, never extrapolated; half a degree beyond it is taken as
 * probe error. Not thread-safe.
 */
final class Water {

  private static final double PROBE_ERROR_C = 0.5;
  private static final double HIGHEST_SATURATION_C = 40.0;

  /** A measured demand beyond these is no demand, or another load's. */
  private static final double LEAST_LEARNED = 0.25;

  private static final double MOST_LEARNED = 4.0;

  /**
   * A demand once measured stays within a quarter of it, nine times in ten (common practice): so
   * far off are the ends that are as far out as those of the books, {@link OxygenDemand#ENDS_SD}.
   */
  private static final double LEARNED_SPREAD = 1.31;

  private final OxygenSolubility solubility = new BensonKrause1984();
  private final Probes probes;
  private double altitudePressureKPa;

  private double learned = 1.0;
  private boolean isLearned;
  private double cachedTemperatureC = Double.NaN;
  private double cachedSalinity;
  private double cachedPressureKPa;
  private double cachedSaturation;

  Water(Probes probes, double altitudeM) {
    this.probes = probes;
    altitude(altitudeM);
  }

  void altitude(double altitudeM) {
    altitudePressureKPa = AirPressure.atAltitudeKPa(altitudeM);
  }

  /** Temperature as far as it may be believed: one that steps further than water can is not. */
  OptionalDouble temperatureC() {
    if (probes.newest(Quantity.TEMPERATURE) instanceof TemperatureProbe p
        && !Double.isNaN(p.waterC())) {
      return OptionalDouble.of(p.waterC());
    }
    return OptionalDouble.empty();
  }

  /** Temperature as it was told last, be it of the water or not. */
  OptionalDouble temperatureAsToldC() {
    return probes.lastKnown(Quantity.TEMPERATURE);
  }

  /** Saturation at any temperature, mg/L, in this salinity and air pressure; NaN where unknown. */
  double saturationAt(double temperatureC) {
    if (Double.isNaN(temperatureC)) {
      return Double.NaN; // asked at each reading; the formula would put its refusal into words
    }
    return saturationOrNaN(
        temperatureC,
        Math.max(0.0, probes.lastKnown(Quantity.SALINITY).orElse(0.0)),
        probes.lastKnown(Quantity.AIR_PRESSURE).orElse(altitudePressureKPa));
  }

  /** Saturation, mg/L; empty without a temperature or outside the formula's range. */
  OptionalDouble saturationMgPerL() {
    OptionalDouble t = within(HIGHEST_SATURATION_C);
    if (t.isEmpty()) {
      return OptionalDouble.empty();
    }
    double salinity = Math.max(0.0, probes.lastKnown(Quantity.SALINITY).orElse(0.0));
    double pressure = probes.lastKnown(Quantity.AIR_PRESSURE).orElse(altitudePressureKPa);
    if (t.getAsDouble() != cachedTemperatureC
        || salinity != cachedSalinity
        || pressure != cachedPressureKPa) {
      cachedTemperatureC = t.getAsDouble();
      cachedSalinity = salinity;
      cachedPressureKPa = pressure;
      cachedSaturation = saturationOrNaN(cachedTemperatureC, salinity, pressure);
    }
    return Double.isNaN(cachedSaturation)
        ? OptionalDouble.empty()
        : OptionalDouble.of(cachedSaturation);
  }

  private double saturationOrNaN(double temperatureC, double salinity, double pressureKPa) {
    try {
      return solubility.saturationMgPerL(temperatureC, salinity, pressureKPa);
    } catch (IllegalArgumentException outsideRange) {
      return Double.NaN;
    }
  }

  /** What the load takes, mg/kg/h; null without a load, a temperature, or outside the range. */
  @Nullable Band demandMgPerKgPerHour(Tank tank) {
    @Nullable Band books = demandByTheBooks(tank);
    if (books == null || !isLearned) {
      return books;
    }
    double likely = learned * books.likely();
    return new Band(likely / LEARNED_SPREAD, likely, likely * LEARNED_SPREAD);
  }

  private @Nullable Band demandByTheBooks(Tank tank) {
    OptionalDouble t = within(HIGHEST_SATURATION_C);
    double kg = tank.loadKg();
    if (t.isEmpty() || kg <= 0.0) {
      return null;
    }
    Band sum = Band.exactly(0.0);
    for (Tank.Load load : tank.loads()) {
      if (load.kg() > 0.0) {
        @Nullable Band rate = rateOrNull(load, t.getAsDouble());
        if (rate == null) {
          return null;
        }
        sum = sum.plus(rate.times(load.kg() / kg));
      }
    }
    return sum;
  }

  private static @Nullable Band rateOrNull(Tank.Load load, double temperatureC) {
    try {
      return OxygenDemand.routineMgPerKgPerHour(load.species(), load.meanMassKg(), temperatureC);
    } catch (IllegalArgumentException outsideRange) {
      return null;
    }
  }

  /**
   * The load has been seen to take that much while no gas came in: from now on its own rate counts
   * more than the books', and the band is narrower.
   *
   * @param perMinute (mg/L)/min
   */
  void learnDemand(Tank tank, double perMinute) {
    @Nullable Band books = demandByTheBooksMgPerLPerMin(tank);
    if (books != null) {
      learned = Math.max(LEAST_LEARNED, Math.min(MOST_LEARNED, perMinute / books.likely()));
      isLearned = true;
    }
  }

  /**
   * The load has changed. Fish of a species that was there before are taken to be like those that
   * were, as far as there were so many; of all others only the books know. So what was learned
   * counts for the share of the mass that stayed, and fish taken out change nothing.
   */
  void moveDemand(List<Tank.Load> before, List<Tank.Load> after) {
    double now = after.stream().mapToDouble(Tank.Load::kg).sum();
    double stayed = 0.0;
    for (Species species : Species.values()) {
      stayed += Math.min(kg(before, species), kg(after, species));
    }
    if (stayed <= 0.0) {
      learned = 1.0;
      isLearned = false;
    } else {
      learned = 1.0 + (learned - 1.0) * stayed / now;
    }
  }

  private static double kg(List<Tank.Load> loads, Species species) {
    return loads.stream()
        .filter(load -> load.species() == species)
        .mapToDouble(Tank.Load::kg)
        .sum();
  }

  /** What was learned of the demand: its ratio to the books'; NaN where nothing was. */
  double learnedDemand() {
    return isLearned ? learned : Double.NaN;
  }

  void restoreLearnedDemand(double ratio) {
    isLearned = !Double.isNaN(ratio);
    learned = isLearned ? ratio : 1.0;
  }

  /** The same for the tank, (mg/L)/min. */
  @Nullable Band demandMgPerLPerMin(Tank tank) {
    return perLitre(demandMgPerKgPerHour(tank), tank);
  }

  /** The same without what was learned of it: what is measured now must not prove itself. */
  @Nullable Band demandByTheBooksMgPerLPerMin(Tank tank) {
    return perLitre(demandByTheBooks(tank), tank);
  }

  private static @Nullable Band perLitre(@Nullable Band mgPerKgPerHour, Tank tank) {
    return mgPerKgPerHour == null
        ? null
        : mgPerKgPerHour.times(tank.loadKg() / tank.waterLitres() / 60.0);
  }

  private OptionalDouble within(double highestC) {
    OptionalDouble t = temperatureC();
    if (t.isEmpty()
        || t.getAsDouble() < -PROBE_ERROR_C
        || t.getAsDouble() > highestC + PROBE_ERROR_C) {
      return OptionalDouble.empty();
    }
    return OptionalDouble.of(Math.max(0.0, Math.min(highestC, t.getAsDouble())));
  }
}
