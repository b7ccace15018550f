// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.util.List;
import java.util.OptionalInt;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Stocking;
import opercle.analysis.farm.Tank;
import opercle.analysis.stock.Species;

/**
 * What is left in a tank when the fish of its trip are out. Fish that the keeper has taken out of
 * it by hand since the loading are those of the trip and are not taken twice; fish that are there
 * beyond the trip's stay. Pure.
 */
public final class FishOut {

  /** Less is a rounding, kg. */
  private static final double NOTHING_KG = 1.0e-6;

  private FishOut() {}

  /**
   * The farm without the fish of a trip.
   *
   * @param since how the farm stood from the loading on, oldest first
   * @param now how it stands
   */
  public static Farm of(List<Farm> since, Farm now, Trip trip) {
    String id = trip.tank().id();
    List<Tank> tanks =
        now.tanks().stream()
            .map(tank -> tank.id().equals(id) ? tank.withLoads(left(since, tank, trip)) : tank)
            .toList();
    return new Farm(now.name(), now.altitudeM(), tanks);
  }

  private static List<Tank.Load> left(List<Farm> since, Tank tank, Trip trip) {
    List<Tank.Load> left = tank.loads();
    for (Species species : trip.load().stream().map(Tank.Load::species).distinct().toList()) {
      double there = Stocking.kg(left, species);
      double gone = goneKg(since, tank.id(), species);
      double out = Math.min(there, Stocking.kg(trip.load(), species) - gone);
      if (out > NOTHING_KG) {
        boolean isAll = there - out < NOTHING_KG;
        OptionalInt count =
            isAll || gone > NOTHING_KG ? OptionalInt.empty() : Stocking.count(trip.load(), species);
        left = Stocking.without(left, species, isAll ? there : out, count);
      }
    }
    return left;
  }

  private static double goneKg(List<Farm> since, String tank, Species species) {
    double gone = 0.0;
    for (int i = 1; i < since.size(); i++) {
      gone += Math.max(0.0, kg(since.get(i - 1), tank, species) - kg(since.get(i), tank, species));
    }
    return gone;
  }

  private static double kg(Farm farm, String tank, Species species) {
    return farm.tank(tank).map(t -> Stocking.kg(t.loads(), species)).orElse(0.0);
  }
}
