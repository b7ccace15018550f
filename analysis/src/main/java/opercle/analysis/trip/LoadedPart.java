// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.util.List;
import java.util.OptionalInt;
import opercle.analysis.farm.Stocking;
import opercle.analysis.farm.Tank;
import opercle.analysis.stock.Species;
import opercle.analysis.trip.TripEntry.Loaded;

/**
 * What a loading says of a kind of fish, and what of those is in after so much went out.
 *
 * @param loadKg what went in by it
 * @param loadCount how many
 * @param goneKg what was taken out by hand
 */
record LoadedPart(double loadKg, OptionalInt loadCount, double goneKg) {

  static LoadedPart of(Loaded loaded, Species species, double goneKg) {
    List<Tank.Load> load = loaded.trip().load();
    return new LoadedPart(Stocking.kg(load, species), Stocking.count(load, species), goneKg);
  }

  /** What is in, kg. */
  double kg() {
    return Math.max(0.0, loadKg - goneKg);
  }

  /** How many are in, by their share of the weight; 0 where nobody has counted them. */
  double count() {
    return loadKg > 0.0 ? loadCount.orElse(0) * kg() / loadKg : 0.0;
  }
}
