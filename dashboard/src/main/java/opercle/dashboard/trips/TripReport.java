// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.trips;

import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.function.UnaryOperator;
import opercle.analysis.trip.Review;

/**
 * What a report of a trip says, in the keeper's words, for whichever form it is given.
 *
 * @param title of the page
 * @param subtitle when and how long
 * @param sections in their order
 */
public record TripReport(String title, String subtitle, List<Section> sections) {

  public TripReport {
    sections = List.copyOf(sections);
  }

  /**
   * One part of it.
   *
   * @param heading of the part
   * @param facts labels with what they say
   * @param table the first row is its heading; empty where there is none
   * @param lines whole sentences
   */
  public record Section(
      String heading, List<Fact> facts, List<List<String>> table, List<String> lines) {

    public Section {
      facts = List.copyOf(facts);
      table = List.copyOf(table);
      lines = List.copyOf(lines);
    }
  }

  /** A label and what it says. */
  public record Fact(String label, String words) {}

  /** The report of a review, its times in a zone. */
  public static TripReport of(Review review, ZoneId zone) {
    return of(review, zone, id -> id, List.of());
  }

  /**
   * The same.
   *
   * @param movements names a movement record by its id
   * @param papers what the papers of its movement lack, a sentence each
   */
  public static TripReport of(
      Review review, ZoneId zone, UnaryOperator<String> movements, List<String> papers) {
    return new ReportWriter(review, zone, movements).report(papers);
  }

  /** An instant in words, for file names. */
  public static String fileName(Review review, String ending) {
    Instant from = review.from();
    return "trip-%s%s"
        .formatted(
            DateTimeFormatter.ofPattern("uuuuMMdd'T'HHmm'Z'")
                .withZone(java.time.ZoneOffset.UTC)
                .format(from),
            ending);
  }
}
