// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.stock;

import java.util.ArrayList;
import java.util.List;
import opercle.analysis.Band;

/**
 * The fish in one tank: one batch, or several of different species and sizes.
 *
 * @param batches at least one
 */
public record FishLoad(List<Batch> batches) {

  public FishLoad {
    batches = List.copyOf(batches);
    if (batches.isEmpty()) {
      throw new IllegalArgumentException("a load needs at least one batch of fish");
    }
  }

  /** A load of these batches. */
  public static FishLoad of(Batch... batches) {
    return new FishLoad(List.of(batches));
  }

  /** All the fish, kg. */
  public double kg() {
    return batches.stream().mapToDouble(Batch::kg).sum();
  }

  /** The same mixture, more or less of it. */
  public FishLoad times(double factor) {
    return new FishLoad(batches.stream().map(b -> b.times(factor)).toList());
  }

  /**
   * Routine demand of all the fish together, mg of oxygen per hour. Bounds add: what makes one
   * batch breathe more than thought is likely to do the same to the others.
   *
   * @param temperatureC water temperature, °C
   */
  public Band routineMgPerHour(double temperatureC) {
    return batches.stream()
        .map(b -> b.routine(temperatureC).mgPerKgPerHour().times(b.kg()))
        .reduce(Band.exactly(0.0), Band::plus);
  }

  /** The demand estimates behind that sum, in the order of the batches. */
  public List<DemandEstimate> routineEstimates(double temperatureC) {
    return batches.stream().map(b -> b.routine(temperatureC)).toList();
  }

  /** What the estimates were widened for, each said once. */
  public List<String> notes(double temperatureC) {
    List<String> notes = new ArrayList<>();
    routineEstimates(temperatureC).forEach(e -> notes.addAll(e.notes()));
    return notes.stream().distinct().toList();
  }

  /** The floor at which the keeper must act, mg/L: the strictest of the species. */
  public double keepFloorMgPerL() {
    return batches.stream().mapToDouble(b -> b.species().keepFloorMgPerL()).max().orElseThrow();
  }

  /** The floor below which fish are being harmed, mg/L: the strictest of the species. */
  public double criticalFloorMgPerL() {
    return batches.stream().mapToDouble(b -> b.species().criticalFloorMgPerL()).max().orElseThrow();
  }
}
