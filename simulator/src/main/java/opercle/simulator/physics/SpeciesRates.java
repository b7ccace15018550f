// SPDX-License-Identifier: Apache-2.0
package opercle.simulator.physics;

import java.util.Map;
import opercle.analysis.stock.Species;

/** Which respiration stands for which species. */
final class SpeciesRates {

  private static final Respiration CARP = new Respiration.MeasuredCarp(1.0);
  private static final Respiration ROACH =
      new Respiration.Exponential(0.00101, -0.1273, 0.1188, 1.0);

  private static final Map<Species, Respiration> RATES =
      Map.ofEntries(
          Map.entry(Species.COMMON_CARP, CARP),
          // Crucian carp breathe less than carp of their size (Schjolden et al. 2007); by how much
          // at one or two kilograms nobody has measured. Construction.
          Map.entry(Species.CRUCIAN_CARP, new Respiration.MeasuredCarp(0.7)),
          Map.entry(Species.TENCH, new Respiration.MeasuredCarp(0.85)), // construction
          Map.entry(Species.ROACH, ROACH),
          Map.entry(Species.RUDD, ROACH),
          Map.entry(Species.BREAM, ROACH),
          Map.entry(Species.PERCH, new Respiration.Dome(0.0108, -0.2, 2.8, 28.0, 33.0, 1.0)),
          Map.entry(
              Species.PIKE, new Respiration.Exponential(0.0026445, -0.18, 0.055, Math.exp(0.1222))),
          Map.entry(
              Species.RAINBOW_TROUT, new Respiration.Dome(0.013, -0.217, 2.2, 22.0, 26.0, 1.3)),
          Map.entry(Species.BROWN_TROUT, new Respiration.Swimming()));

  private SpeciesRates() {}

  /** The species' own rate, or carp's for one that has none here. */
  static Respiration of(Species species) {
    return RATES.getOrDefault(species, CARP);
  }
}
