// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import java.time.LocalDate;
import java.util.List;
import java.util.Locale;

/**
 * For how long a health check counts from the day of its sample: our reminder, not the document's
 * word. A check counts up to the day before the same day of the month so many months later.
 *
 * @param farmedTroutAndSalmonMonths for trout and salmon of a farm, months
 * @param otherMonths for all other fish, months
 */
public record HealthRule(int farmedTroutAndSalmonMonths, int otherMonths) implements Entry {

  /** GOV.UK "Fish health checks" (England): 12 and 6 months; read in a stored copy. */
  public static final HealthRule USUAL = new HealthRule(12, 6);

  private static final int LONGEST_MONTHS = 60;

  public HealthRule {
    require("farmedTroutAndSalmonMonths", farmedTroutAndSalmonMonths);
    require("otherMonths", otherMonths);
  }

  private static void require(String field, int months) {
    if (months < 1 || months > LONGEST_MONTHS) {
      throw new WrongFieldException(
          field, "must be 1–%d months but was %d".formatted(LONGEST_MONTHS, months));
    }
  }

  /**
   * The last day of a check, as its document says or by this rule.
   *
   * @param isFarm whether its water is a farm's
   */
  public LocalDate lastDay(HealthCheck check, boolean isFarm) {
    return check.until().orElseGet(() -> byRule(check, isFarm));
  }

  private LocalDate byRule(HealthCheck check, boolean isFarm) {
    boolean longer = isFarm && isTroutOrSalmon(check.species());
    return check
        .sampled()
        .plusMonths(longer ? farmedTroutAndSalmonMonths : otherMonths)
        .minusDays(1);
  }

  private static boolean isTroutOrSalmon(String species) {
    String name = species.toLowerCase(Locale.ROOT);
    return name.contains("trout") || name.contains("salmon");
  }

  @Override
  public Kind kind() {
    return Kind.HEALTH_RULE;
  }

  @Override
  public List<Named> named() {
    return List.of();
  }

  @Override
  public String title() {
    return "%d months for farmed trout and salmon, %d for all others"
        .formatted(farmedTroutAndSalmonMonths, otherMonths);
  }
}
