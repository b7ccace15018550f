// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import opercle.analysis.Band;
import opercle.analysis.stock.Species;

/**
 * What one past trip teaches about a species: how much it breathed. Only trips of one species do.
 *
 * @param trip its id
 * @param at when
 * @param species which
 * @param meanMassKg of a fish, kg
 * @param temperatureC of the water, °C
 * @param way how it was read
 * @param mgPerKgPerHour what was measured
 */
public record PastDemand(
    String trip,
    Instant at,
    Species species,
    double meanMassKg,
    double temperatureC,
    MeasuredDemand.Way way,
    Band mgPerKgPerHour) {

  /**
   * What a review teaches; nothing where no demand was measured, the load was mixed, the trip was
   * withdrawn or is another farm's.
   */
  public static Optional<PastDemand> of(Review review) {
    Trip trip = review.log().trip();
    List<Species> kinds = trip.load().stream().map(l -> l.species()).distinct().toList();
    if (kinds.size() != 1 || review.log().withdrawn().isPresent() || trip.tank().isOfOtherFarm()) {
      return Optional.empty();
    }
    double each =
        trip.load().stream().mapToDouble(l -> l.kg() * l.meanMassKg()).sum() / trip.loadKg();
    return review
        .demand()
        .map(
            d ->
                new PastDemand(
                    trip.id(),
                    review.from(),
                    kinds.get(0),
                    each,
                    d.temperatureC(),
                    d.way(),
                    d.mgPerKgPerHour()));
  }
}
