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

/**
 * What fish and water were given in a year, medicines, baths and salt, as a table of text: every
 * version of each, so that corrections can be seen beside what they correct. What the vet said of a
 * withdrawal stands word for word.
 */
public final class GivenRegister {

  /** What the columns are. */
  public static final List<String> COLUMNS =
      List.of(
          "time_utc",
          "time_local",
          "tank",
          "what",
          "amount",
          "reason",
          "withdrawal",
          "withdrawal_until",
          "note",
          "stands",
          "recorded_utc",
          "recorded_by",
          "why_corrected",
          "entry",
          "corrects");

  private static final DateTimeFormatter LOCAL = DateTimeFormatter.ofPattern("uuuu-MM-dd HH:mm");

  private GivenRegister() {}

  /** What was given. */
  private record Given(
      String what,
      String amount,
      Optional<String> reason,
      Optional<String> withdrawal,
      Optional<String> until,
      Optional<String> note) {

    static Optional<Given> of(TankEntry entry) {
      if (entry instanceof TankEntry.Treatment t) {
        return Optional.of(
            new Given(
                t.what(),
                t.amount(),
                Optional.of(t.reason()),
                t.withdrawal(),
                t.until().map(Object::toString),
                t.note()));
      }
      if (entry instanceof TankEntry.Salt s) {
        return Optional.of(salt(s.kg(), s.reason(), Optional.empty()));
      }
      return entry instanceof TankEntry.TopUp t && t.saltKg().isPresent()
          ? Optional.of(salt(t.saltKg().getAsDouble(), Optional.of("with a top-up"), t.note()))
          : Optional.empty();
    }

    private static Given salt(double kg, Optional<String> reason, Optional<String> note) {
      return new Given("salt", kg + " kg", reason, Optional.empty(), Optional.empty(), note);
    }
  }

  /** The rows of a year, which is that of the farm's own day, in order of time. */
  public static List<List<String>> rows(Records records, Year year, ZoneId zone) {
    List<List<String>> rows = new ArrayList<>();
    records.withWithdrawn(TankEntry.class).stream()
        .filter(s -> s.versions().stream().anyMatch(v -> isOf(v, year, zone)))
        .sorted(
            Comparator.comparing((Standing<TankEntry> s) -> s.entry().where().time())
                .thenComparing(Standing::number))
        .forEach(s -> s.versions().forEach(v -> row(s, v, zone).ifPresent(rows::add)));
    return rows;
  }

  private static boolean isOf(Recorded version, Year year, ZoneId zone) {
    return version.entry() instanceof TankEntry entry
        && Given.of(entry).isPresent()
        && entry.where().time().atZone(zone).getYear() == year.getValue();
  }

  private static Optional<List<String>> row(
      Standing<TankEntry> standing, Recorded version, ZoneId zone) {
    if (!(version.entry() instanceof TankEntry entry)) {
      return Optional.empty();
    }
    Instant time = entry.where().time();
    boolean last = version.equals(standing.versions().get(standing.versions().size() - 1));
    return Given.of(entry)
        .map(
            given ->
                List.of(
                    time.truncatedTo(ChronoUnit.SECONDS).toString(),
                    LOCAL.format(time.atZone(zone)),
                    entry.where().name().orElse(entry.where().tank()),
                    given.what(),
                    given.amount(),
                    given.reason().orElse(""),
                    given.withdrawal().orElse(""),
                    given.until().orElse(""),
                    given.note().orElse(""),
                    last ? standing.withdrawn() ? "withdrawn" : "yes" : "corrected",
                    version.at().truncatedTo(ChronoUnit.SECONDS).toString(),
                    version.by(),
                    version.correction().map(Recorded.Correction::why).orElse(""),
                    version.id(),
                    version.correction().map(Recorded.Correction::corrects).orElse("")));
  }

  /** The rows under their heading as CSV, as {@link Register#csv}. */
  public static String csv(List<List<String>> rows) {
    return Register.csv(COLUMNS, rows);
  }
}
