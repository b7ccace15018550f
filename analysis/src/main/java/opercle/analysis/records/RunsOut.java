// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.records;

import java.time.LocalDate;
import java.time.temporal.ChronoUnit;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;

/**
 * When a paper ends: our reminder, not the document's word.
 *
 * @param id of the permit or the health check
 * @param title in a few words
 * @param about the water or the party that it is for; empty: the farm
 * @param last its last day
 * @param daysLeft from today to its last day; below 0: it has ended
 * @param byRule whether the last day is reckoned by the {@link HealthRule}
 */
public record RunsOut(
    String id,
    String title,
    Optional<String> about,
    LocalDate last,
    long daysLeft,
    boolean byRule) {

  /** What ended longer ago than this is no news. */
  private static final int DAYS_KEPT = 60;

  /** What has ended lately or will end, the soonest first. */
  public static List<RunsOut> of(Records records, LocalDate today) {
    Stream<RunsOut> permits =
        records.standing(Permit.class).stream()
            .flatMap(p -> p.entry().until().map(last -> permit(records, p, last, today)).stream());
    Stream<RunsOut> checks =
        records.standing(HealthCheck.class).stream().map(c -> check(records, c, today));
    return Stream.concat(permits, checks)
        .filter(r -> r.daysLeft >= -DAYS_KEPT)
        .sorted(Comparator.comparing(RunsOut::last).thenComparing(RunsOut::title))
        .toList();
  }

  private static RunsOut permit(
      Records records, Standing<Permit> p, LocalDate last, LocalDate today) {
    Optional<String> about =
        p.entry().water().map(records::water).or(() -> p.entry().party().map(records::title));
    return new RunsOut(
        p.id(), p.entry().title(), about, last, ChronoUnit.DAYS.between(today, last), false);
  }

  private static RunsOut check(Records records, Standing<HealthCheck> c, LocalDate today) {
    HealthCheck check = c.entry();
    LocalDate last = records.healthRule().lastDay(check, records.isFarm(check));
    return new RunsOut(
        c.id(),
        check.title(),
        Optional.of(check.species() + ", " + records.water(check.water())),
        last,
        ChronoUnit.DAYS.between(today, last),
        check.until().isEmpty());
  }
}
