// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import java.time.Instant;
import java.time.Year;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.stream.Collectors;

/**
 * The movements of a year as a table of text: every version of each, so that corrections can be
 * seen beside what they correct. Waters, papers and parties stand in each row as they were recorded
 * then, with what they were corrected to since.
 */
public final class Register {

  /** What the columns are. */
  public static final List<String> COLUMNS =
      List.of(
          "departs_utc",
          "departs_local",
          "arrives_utc",
          "species",
          "count",
          "kg",
          "from",
          "to",
          "died_on_the_way",
          "supplier",
          "receiver",
          "carrier",
          "vehicle",
          "distance_km",
          "permits",
          "health_checks",
          "consignment_note",
          "advance_notice",
          "disinfection",
          "water_changed",
          "note",
          "stands",
          "recorded_utc",
          "recorded_by",
          "why_corrected",
          "entry",
          "corrects");

  private static final DateTimeFormatter LOCAL = DateTimeFormatter.ofPattern("uuuu-MM-dd HH:mm");

  private Register() {}

  /** The rows of a year, which is that of the fish's departure at the farm, in order of time. */
  public static List<List<String>> rows(Records records, Year year, ZoneId zone) {
    return records.withWithdrawn(Movement.class).stream()
        .filter(
            s ->
                s.versions().stream()
                    .anyMatch(v -> departs(v).atZone(zone).getYear() == year.getValue()))
        .sorted(
            Comparator.comparing((Standing<Movement> s) -> s.entry().departs())
                .thenComparing(Standing::number))
        .flatMap(s -> s.versions().stream().map(v -> row(records, s, v, zone)))
        .toList();
  }

  private static Instant departs(Recorded version) {
    return ((Movement) version.entry()).departs();
  }

  private static List<String> row(
      Records records, Standing<Movement> standing, Recorded version, ZoneId zone) {
    Movement m = (Movement) version.entry();
    boolean last = version.equals(standing.versions().get(standing.versions().size() - 1));
    List<String> row = new ArrayList<>();
    row.add(m.departs().truncatedTo(ChronoUnit.SECONDS).toString());
    row.add(LOCAL.format(m.departs().atZone(zone)));
    row.add(m.arrives().truncatedTo(ChronoUnit.SECONDS).toString());
    row.add(m.species());
    row.add(m.count().isPresent() ? Long.toString(m.count().getAsLong()) : "");
    row.add(m.kg().isPresent() ? Double.toString(m.kg().getAsDouble()) : "");
    row.add(title(records, version, m.from()));
    row.add(title(records, version, m.to()));
    row.add(m.died().isPresent() ? Long.toString(m.died().getAsLong()) : "");
    row.add(title(records, version, m.papers().supplier()));
    row.add(title(records, version, m.papers().receiver()));
    row.add(title(records, version, m.means().carrier()));
    row.add(m.means().vehicle().orElse(""));
    row.add(
        m.means().distanceKm().isPresent()
            ? Double.toString(m.means().distanceKm().getAsDouble())
            : "");
    row.add(titles(records, version, m.papers().permits()));
    row.add(titles(records, version, m.papers().healthChecks()));
    row.add(m.papers().consignmentNote().orElse(""));
    row.add(m.papers().advanceNotice().orElse(""));
    row.add(m.disinfection().orElse(""));
    row.add(m.waterChanged().orElse(""));
    row.add(m.note().orElse(""));
    row.add(last ? (standing.withdrawn() ? "withdrawn" : "yes") : "corrected");
    row.add(version.at().truncatedTo(ChronoUnit.SECONDS).toString());
    row.add(version.by());
    row.add(version.correction().map(Recorded.Correction::why).orElse(""));
    row.add(version.id());
    row.add(version.correction().map(Recorded.Correction::corrects).orElse(""));
    return row;
  }

  /** What it named when that was recorded: a paper that is corrected later changes no old row. */
  private static String title(Records records, Recorded version, Optional<String> id) {
    return id.map(i -> records.titleAsOf(i, version.number())).orElse("");
  }

  private static String titles(Records records, Recorded version, List<String> ids) {
    return ids.stream()
        .map(i -> records.titleAsOf(i, version.number()))
        .collect(Collectors.joining("; "));
  }

  /**
   * The rows under their heading as CSV (RFC 4180). A cell that a spreadsheet would take for a
   * formula gets an apostrophe before it; numbers and times of ours never do.
   */
  public static String csv(List<List<String>> rows) {
    return csv(COLUMNS, rows);
  }

  static String csv(List<String> columns, List<List<String>> rows) {
    StringBuilder csv = new StringBuilder();
    line(csv, columns);
    rows.forEach(row -> line(csv, row));
    return csv.toString();
  }

  private static void line(StringBuilder csv, List<String> cells) {
    csv.append(cells.stream().map(Register::cell).collect(Collectors.joining(","))).append("\r\n");
  }

  private static String cell(String text) {
    String safe = !text.isEmpty() && "=+-@\t\r\n".indexOf(text.charAt(0)) >= 0 ? "'" + text : text;
    boolean plain = safe.chars().noneMatch(c -> c == ',' || c == '"' || c == '\r' || c == '\n');
    return plain ? safe : '"' + safe.replace("\"", "\"\"") + '"';
  }
}
