// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import java.time.LocalDate;
import java.util.List;
import java.util.Optional;

/**
 * A health check of the fish of a water.
 *
 * @param reference the number of its report
 * @param water the {@link Water} whose fish were sampled
 * @param species which fish
 * @param sampled the day of the sample
 * @param consultant who made it
 * @param until its last day, where the document names one; empty: by the {@link HealthRule}
 * @param note anything else
 */
public record HealthCheck(
    String reference,
    String water,
    String species,
    LocalDate sampled,
    Optional<String> consultant,
    Optional<LocalDate> until,
    Optional<String> note)
    implements Entry {

  public HealthCheck {
    reference = Limits.line("reference", reference);
    species = Limits.line("species", species);
    consultant = Limits.line("consultant", consultant);
    note = Limits.note("note", note);
    if (until.isPresent() && until.get().isBefore(sampled)) {
      throw new WrongFieldException(
          "until",
          "%s is before sampled: %s".formatted(until.get(), sampled),
          "%s is before the day of the sample, %s".formatted(until.get(), sampled));
    }
  }

  @Override
  public Kind kind() {
    return Kind.HEALTH_CHECK;
  }

  @Override
  public List<Named> named() {
    return List.of(new Named("water", Kind.WATER, water));
  }

  @Override
  public String title() {
    return "health check " + reference;
  }
}
