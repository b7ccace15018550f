// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalLong;
import opercle.analysis.records.Movement;
import opercle.analysis.records.Records;
import opercle.analysis.stock.Species;
import opercle.analysis.trip.Trip;
import opercle.analysis.trip.TripEntry.Loss;
import opercle.analysis.trip.TripEntry.Unloaded;
import opercle.analysis.trip.TripLog;

/**
 * Where a trip and its movement records do not agree on what did not live, by kind of fish: the
 * keeper's word stays on both. Stateless.
 */
final class LossWords {

  private LossWords() {}

  /** A sentence for each kind; none where they agree. */
  static List<String> of(TripLog log, Records records) {
    Trip trip = log.trip();
    List<Loss> losses = log.unloaded().map(Unloaded::losses).orElse(List.of());
    if (trip.kind() != Trip.Kind.ROAD || trip.tank().isOfOtherFarm()) {
      return List.of();
    }
    List<Movement> movements = new ArrayList<>();
    for (String id : trip.movements()) {
      records.find(Movement.class, id).ifPresent(m -> movements.add(m.entry()));
    }
    List<String> words = new ArrayList<>();
    for (Species species : losses.stream().map(Loss::species).distinct().toList()) {
      List<Loss> its = losses.stream().filter(l -> l.species() == species).toList();
      List<Movement> of = movements.stream().filter(m -> species.isCalled(m.species())).toList();
      said(species, its, of, !movements.isEmpty()).forEach(words::add);
    }
    return words;
  }

  private static List<String> said(
      Species species, List<Loss> losses, List<Movement> movements, boolean areOthers) {
    String name = species.commonName();
    long counted = losses.stream().mapToLong(l -> l.count().orElse(0)).sum();
    boolean someAreWeighed =
        losses.stream().anyMatch(l -> l.count().isEmpty() && l.kg().orElse(0.0) > 0.0);
    if (movements.isEmpty()) {
      boolean isLoss = counted > 0 || someAreWeighed;
      return areOthers && isLoss
          ? List.of(
              "Some %s were written down as not alive at the unloading, and no movement record of this trip is of %s."
                  .formatted(name, name))
          : List.of();
    }
    List<String> words = new ArrayList<>();
    for (Movement movement : movements) {
      OptionalLong died = movement.died();
      if (died.isEmpty() && (counted > 0 || someAreWeighed)) {
        words.add(
            "Some %s were written down as not alive at the unloading, and the movement record has no number of them."
                .formatted(name));
      } else if (died.isPresent() && died.getAsLong() < counted) {
        words.add(
            "At the unloading %d %s were written down as not alive, and the movement record says %d."
                .formatted(counted, name, died.getAsLong()));
      }
    }
    return words;
  }
}
