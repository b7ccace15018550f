// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import java.time.LocalDate;
import java.time.Year;
import java.util.List;

/**
 * For how long the keeper wants records kept; how long they must be is said by the authority.
 * Nothing is deleted by it: it tells from when a year's records may go.
 *
 * @param years after the end of the year that they are of
 */
public record RetentionRule(int years) implements Entry {

  private static final int MOST_YEARS = 50;

  public RetentionRule {
    if (years < 1 || years > MOST_YEARS) {
      throw new WrongFieldException(
          "years", "must be 1–%d years but was %d".formatted(MOST_YEARS, years));
    }
  }

  /** The last day on which the records of a year are kept. */
  public LocalDate lastDay(Year year) {
    return year.plusYears(years).atMonth(12).atEndOfMonth();
  }

  @Override
  public Kind kind() {
    return Kind.RETENTION_RULE;
  }

  @Override
  public List<Named> named() {
    return List.of();
  }

  @Override
  public String title() {
    return "records kept for %d years".formatted(years);
  }
}
