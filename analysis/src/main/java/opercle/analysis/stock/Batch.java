// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.stock;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalInt;
import opercle.analysis.Band;
import opercle.analysis.ValidRange;

/**
 * Fish of one species and about one size.
 *
 * @param species which
 * @param kg their mass together, kg
 * @param count how many, where known
 */
public record Batch(Species species, double kg, OptionalInt count) {

  private static final ValidRange KG = new ValidRange("a batch of fish", "mass", 0.0, 1.0e6, "kg");

  /** An unknown size within a factor of three either way moves the rate by 3^0.2. */
  private static final double UNKNOWN_SIZE = 1.25;

  public Batch {
    if (count.isPresent() && count.getAsInt() < 1) {
      throw new IllegalArgumentException(
          "a batch of %s: count must be >= 1 but was %d".formatted(species.id(), count.getAsInt()));
    }
    KG.require(kg);
  }

  /** Fish that were weighed and not counted. */
  public static Batch ofKg(Species species, double kg) {
    return new Batch(species, kg, OptionalInt.empty());
  }

  /** Fish that were weighed and counted. */
  public static Batch of(Species species, double kg, int count) {
    return new Batch(species, kg, OptionalInt.of(count));
  }

  /** Mean body mass, kg; the species' usual size where they were not counted. */
  public double meanMassKg() {
    return count.isPresent() ? kg / count.getAsInt() : species.usualMassKg();
  }

  /** The same fish, more or fewer of them. */
  public Batch times(double factor) {
    OptionalInt scaled =
        count.isPresent()
            ? OptionalInt.of((int) Math.max(1, Math.round(count.getAsInt() * factor)))
            : count;
    return new Batch(species, kg * factor, scaled);
  }

  /** Routine demand per kilogram; wider where they were not counted. */
  public DemandEstimate routine(double temperatureC) {
    DemandEstimate known = OxygenDemand.routine(species, meanMassKg(), temperatureC);
    if (count.isPresent()) {
      return known;
    }
    Band band = known.mgPerKgPerHour();
    List<String> notes = new ArrayList<>(known.notes());
    notes.add(
        "%s: not counted, taken as %s kg each; widened."
            .formatted(species.commonName(), species.usualMassKg()));
    return new DemandEstimate(
        new Band(band.low() / UNKNOWN_SIZE, band.likely(), band.high() * UNKNOWN_SIZE),
        known.evidence(),
        notes);
  }
}
