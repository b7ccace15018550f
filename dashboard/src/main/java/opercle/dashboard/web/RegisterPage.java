// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.time.LocalDate;
import java.time.Year;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import opercle.analysis.records.Recorded;
import opercle.analysis.records.Records;
import opercle.analysis.records.Register;
import opercle.analysis.records.RetentionRule;
import opercle.analysis.records.Standing;
import opercle.analysis.records.TankEntry;

/** The register of a year to print or to file: movements, and medicines with salt. Pure. */
final class RegisterPage {

  private static final DateTimeFormatter DAY =
      DateTimeFormatter.ofPattern("d MMM uuuu", Locale.ENGLISH);
  private static final DateTimeFormatter TIME =
      DateTimeFormatter.ofPattern("d MMM uuuu, HH:mm", Locale.ENGLISH);

  private static final Pattern WRITTEN_DAY =
      Pattern.compile("(\\d{4}-\\d\\d-\\d\\d)(?: (\\d\\d:\\d\\d))?");

  /** Of the register's columns those that a sheet of paper has room for, with their heading. */
  private static final List<List<String>> MOVEMENT_COLUMNS =
      List.of(
          List.of("departs_local", "Left"),
          List.of("species", "Fish"),
          List.of("count", "How many"),
          List.of("kg", "Weight, kg"),
          List.of("from", "From"),
          List.of("to", "To"),
          List.of("died_on_the_way", "Died"),
          List.of("permits", "Permits"),
          List.of("health_checks", "Health checks"),
          List.of("consignment_note", "Consignment note"),
          List.of("recorded_by", "By"),
          List.of("stands", "Stands"),
          List.of("why_corrected", "Why corrected"));

  private static final List<String> WORK_HEADINGS =
      List.of(
          "Given",
          "Tank",
          "What",
          "Amount",
          "Why",
          "Withdrawal, as the vet said",
          "To",
          "By",
          "Stands",
          "Why corrected");

  private RegisterPage() {}

  /**
   * Fills the page.
   *
   * @param frame of the page, with its places still in it
   */
  static String of(
      String frame, String farm, Records records, Year year, LocalDate today, ZoneId zone) {
    List<String> kept =
        records.standing(RetentionRule.class).stream()
            .map(s -> DAY.format(s.entry().lastDay(year)))
            .toList();
    String retention =
        kept.isEmpty()
            ? "For how long records are kept is not set; your authorisation letter says how long they must be."
            : "To be kept to %s, as the keeper set it; your authorisation letter goes before that."
                .formatted(kept.get(kept.size() - 1));
    return frame
        .replace("{{year}}", year.toString())
        .replace(
            "{{made}}", text("%s, made on %s. %s".formatted(farm, DAY.format(today), retention)))
        .replace("{{movements}}", movements(records, year, zone))
        .replace("{{treatments}}", work(records, year, zone));
  }

  private static String movements(Records records, Year year, ZoneId zone) {
    List<Integer> at =
        MOVEMENT_COLUMNS.stream().map(c -> Register.COLUMNS.indexOf(c.get(0))).toList();
    return table(
        "Movements of fish",
        MOVEMENT_COLUMNS.stream().map(c -> c.get(1)).toList(),
        Register.rows(records, year, zone).stream()
            .map(row -> at.stream().map(row::get).toList())
            .toList());
  }

  private static String work(Records records, Year year, ZoneId zone) {
    return table(
        "Medicines, baths and salt",
        WORK_HEADINGS,
        Stream.of(TankEntry.Treatment.class, TankEntry.Salt.class, TankEntry.TopUp.class)
            .flatMap(kind -> records.withWithdrawn(kind).stream())
            .filter(s -> !(s.entry() instanceof TankEntry.TopUp t) || t.saltKg().isPresent())
            .filter(s -> s.entry().where().time().atZone(zone).getYear() == year.getValue())
            .sorted(
                Comparator.comparing((Standing<? extends TankEntry> s) -> s.entry().where().time()))
            .flatMap(s -> s.versions().stream().map(v -> row(s, v, zone)))
            .toList());
  }

  private static List<String> row(
      Standing<? extends TankEntry> standing, Recorded version, ZoneId zone) {
    TankEntry entry = (TankEntry) version.entry();
    boolean last = version.equals(standing.versions().get(standing.versions().size() - 1));
    Stream<String> said =
        entry instanceof TankEntry.Treatment t
            ? Stream.of(
                t.what(),
                t.amount(),
                t.reason(),
                t.withdrawal().orElse(""),
                t.until().map(DAY::format).orElse(""))
            : entry instanceof TankEntry.Salt s
                ? Stream.of("Salt", kilograms(s.kg()), s.reason().orElse(""), "", "")
                : entry instanceof TankEntry.TopUp t
                    ? Stream.of(
                        "Salt", kilograms(t.saltKg().orElse(0.0)), "with a top-up of water", "", "")
                    : Stream.of("", "", "", "", "");
    return Stream.of(
            Stream.of(
                TIME.format(entry.where().time().atZone(zone)),
                entry.where().name().orElse(entry.where().tank())),
            said,
            Stream.of(
                version.by(),
                last ? (standing.withdrawn() ? "withdrawn" : "yes") : "corrected",
                version.correction().map(Recorded.Correction::why).orElse("")))
        .flatMap(part -> part)
        .toList();
  }

  private static String table(String label, List<String> headings, List<List<String>> rows) {
    if (rows.isEmpty()) {
      return "<p class=\"quiet\">None.</p>";
    }
    return "<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\""
        + text(label)
        + "\"><table><thead><tr>"
        + headings.stream()
            .map(h -> "<th scope=\"col\">" + text(h) + "</th>")
            .collect(Collectors.joining())
        + "</tr></thead><tbody>"
        + rows.stream()
            .map(
                row ->
                    IntStream.range(0, row.size())
                        .mapToObj(
                            at ->
                                "<td data-of=\"%s\">%s</td>"
                                    .formatted(text(headings.get(at)), text(dated(row.get(at)))))
                        .collect(Collectors.joining("", "<tr>", "</tr>")))
            .collect(Collectors.joining())
        + "</tbody></table></div>";
  }

  /** To the gram: what was typed in pounds has a long tail of digits. */
  private static String kilograms(double kg) {
    return BigDecimal.valueOf(kg)
            .setScale(3, RoundingMode.HALF_UP)
            .stripTrailingZeros()
            .toPlainString()
        + " kg";
  }

  /** A day, with or without its time, as people write it; all else stays. */
  private static String dated(String cell) {
    Matcher day = WRITTEN_DAY.matcher(cell);
    return day.matches()
        ? DAY.format(LocalDate.parse(day.group(1)))
            + (day.group(2) == null ? "" : ", " + day.group(2))
        : cell;
  }

  /** Words as they stand in a page. */
  static String text(String text) {
    return text.replace("&", "&amp;")
        .replace("<", "&lt;")
        .replace(">", "&gt;")
        .replace("\"", "&quot;");
  }
}
