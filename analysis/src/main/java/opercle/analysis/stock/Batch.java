// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.stock;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import opercle.analysis.Band;
import opercle.analysis.ValidRange;

/**
 * Fish of one species and about one size.
 *
 * @param species which
 * @param kg their mass together, kg
 * @param countedMassKg mean body mass, kg, where they were counted
 */
public record Batch(Species species, double kg, OptionalDouble countedMassKg) {

  private static final ValidRange KG = new ValidRange("a batch of fish", "mass", 0.0, 1.0e6, "kg");

  /** An unknown size within a factor of three either way moves the rate by 3^0.2. */
  private static final double UNKNOWN_SIZE = 1.25;

  public Batch {
    KG.require(kg);
    countedMassKg.ifPresent(OxygenDemand::requireMass);
  }

  /** Fish that were weighed and not counted. */
  public static Batch ofKg(Species species, double kg) {
    return new Batch(species, kg, OptionalDouble.empty());
  }

  /** Fish that were weighed and counted. */
  public static Batch of(Species species, double kg, int count) {
    if (count < 1) {
      throw new IllegalArgumentException(
          "a batch of %s: count must be >= 1 but was %d".formatted(species.id(), count));
    }
    double each = kg / count;
    if (!(each >= OxygenDemand.LIGHTEST_KG && each <= OxygenDemand.HEAVIEST_KG)) {
      throw new IllegalArgumentException(
          "a batch of %s: %s kg over a count of %d is %s kg each, outside %s–%s kg"
              .formatted(
                  species.id(),
                  kg,
                  count,
                  each,
                  OxygenDemand.LIGHTEST_KG,
                  OxygenDemand.HEAVIEST_KG));
    }
    return new Batch(species, kg, OptionalDouble.of(each));
  }

  /** Mean body mass, kg; the species' usual size where they were not counted. */
  public double meanMassKg() {
    return countedMassKg.orElse(species.usualMassKg());
  }

  /** More or fewer of the same fish. */
  public Batch times(double factor) {
    return new Batch(species, kg * factor, countedMassKg);
  }

  /** Routine demand per kilogram; wider where they were not counted. */
  public DemandEstimate routine(double temperatureC) {
    DemandEstimate known = OxygenDemand.routine(species, meanMassKg(), temperatureC);
    if (countedMassKg.isPresent()) {
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
