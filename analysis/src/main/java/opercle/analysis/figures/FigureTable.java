// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.figures;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import opercle.analysis.alarm.Priority;
import opercle.analysis.figures.Row.Verdict;

/**
 * The figures of a week as lines beside the standards' and our own. The standards speak of a
 * staffed control room; what a sleeping keeper can bear is less, and is ours.
 */
public final class FigureTable {

  /** HSE Chemicals Sheet 6, citing EEMUA 191. */
  private static final String HSE = "control rooms, as a safety authority gives it";

  /** EEMUA 191 and ISA-18.2, from secondary accounts. */
  private static final String SECONDARY = "control rooms, as others tell it";

  /** ISA-18.2, from memory. */
  private static final String MEMORY = "control rooms, from memory";

  private static final String OURS = "ours, for whoever sleeps";

  /** Below so many calls a share says nothing. */
  private static final int FEWEST_FOR_SHARES = 100;

  private static final int FEWEST_WAKINGS = 5;

  private static final Duration TEN_MINUTES = Duration.ofMinutes(10);
  private static final Duration HOUR = Duration.ofHours(1);
  private static final Duration DAY = Duration.ofDays(1);

  private FigureTable() {}

  /** The lines, in the same order; what is not kept has none. */
  public static List<Row> of(AlarmFigures f) {
    List<Row> rows = new ArrayList<>();
    rows.add(
        new Row(
            "calls",
            "Calls for somebody",
            "%d (%d to act now, %d to go and look, %d when you can)"
                .formatted(
                    f.calls(),
                    f.byPriority().getOrDefault(Priority.HIGH, 0),
                    f.byPriority().getOrDefault(Priority.MEDIUM, 0),
                    f.byPriority().getOrDefault(Priority.LOW, 0)),
            "of 100 about 5 to act now, 15 to go and look, 80 when you can",
            SECONDARY,
            Verdict.NOT_JUDGED));
    rows.add(rate("per-ten-minutes", TEN_MINUTES, "in ten minutes", f.perTenMinutes(), 1, 2, HSE));
    rows.add(rate("per-hour", HOUR, "in an hour", f.perHour(), 6, 12, MEMORY));
    rows.add(rate("per-day", DAY, "in a day", f.perDay(), 150, 300, SECONDARY));
    rows.add(
        new Row(
            "most-in-ten-minutes",
            "Most calls in any ten minutes",
            Integer.toString(f.mostInTenMinutes()),
            "10 or fewer, after a great upset too",
            HSE,
            f.mostInTenMinutes() <= 10 ? Verdict.GOOD : Verdict.BAD));
    rows.add(share("busy", "Ten-minute periods with more than 10 calls", f.busyShare()));
    rows.add(share("in-flood", floods(f.floods().size()), f.floodShare()));
    rows.add(
        new Row(
            "most-frequent",
            "Of all calls, those of the ten most frequent alarms",
            percent(f.mostFrequentShare()),
            "under 5 %",
            MEMORY,
            f.calls() < FEWEST_FOR_SHARES
                ? Verdict.NOT_JUDGED
                : f.mostFrequentShare() < 0.05 ? Verdict.GOOD : Verdict.BAD));
    rows.add(
        none(
            "chattering",
            "Alarms that came three times within a minute",
            f.chattering().size(),
            MEMORY));
    rows.add(
        new Row(
            "standing",
            "Alarms that stood for over a day: the most at once",
            Integer.toString(f.mostStanding()),
            "fewer than 5, each with a plan",
            MEMORY,
            f.mostStanding() < 5 ? Verdict.GOOD : Verdict.BAD));
    rows.addAll(nights(f));
    f.monitorWakings()
        .ifPresent(
            woken ->
                rows.add(
                    new Row(
                        "monitor-wakings",
                        "Woken for the monitor itself",
                        Integer.toString(woken),
                        "",
                        "",
                        Verdict.NOT_JUDGED)));
    rows.addAll(acknowledged(f.acknowledged()));
    rows.add(deliveries(f.deliveries()));
    rows.add(
        none("missing", "Lines missing from the alarms that are kept", f.missingEvents(), OURS));
    return rows;
  }

  private static List<Row> nights(AlarmFigures f) {
    int wrong = f.wakings(Waking.Was.FALSE);
    int right = f.wakings(Waking.Was.TRUE);
    int judged = wrong + right;
    return List.of(
        new Row(
            "wakings",
            "Woken in %d night%s".formatted(f.nights(), f.nights() == 1 ? "" : "s"),
            "%d (for something %d, for nothing %d, nobody said %d)"
                .formatted(f.wakings().size(), right, wrong, f.wakings(Waking.Was.NOT_SAID)),
            "",
            "",
            Verdict.NOT_JUDGED),
        // One in 30 nights cannot be told from a week: one in it is more, but may be chance.
        new Row(
            "false-wakings",
            "Woken for nothing",
            Integer.toString(wrong),
            "at most 1 in 30 nights",
            OURS,
            wrong == 0
                ? f.wakings(Waking.Was.NOT_SAID) == 0 ? Verdict.GOOD : Verdict.NOT_JUDGED
                : wrong == 1 ? Verdict.WORSE : Verdict.BAD),
        new Row(
            "true-share",
            "Wakings that were for something",
            judged == 0 ? "nothing to judge by" : percent((double) right / judged),
            "80 % or more",
            OURS,
            judged < FEWEST_WAKINGS
                ? Verdict.NOT_JUDGED
                : right >= 0.8 * judged ? Verdict.GOOD : Verdict.BAD));
  }

  private static List<Row> acknowledged(AlarmFigures.Acknowledged a) {
    return List.of(
        new Row(
            "acknowledged-median",
            "“I have it” to a high alarm, half of them within",
            a.alarms() == 0 ? "no such alarm" : words(a.median()),
            "",
            "",
            Verdict.NOT_JUDGED),
        new Row(
            "acknowledged-ninety",
            "Nine of ten within",
            a.alarms() == 0 ? "no such alarm" : words(a.ninety()),
            "",
            "",
            Verdict.NOT_JUDGED),
        new Row(
            "never-acknowledged",
            "High alarms that nobody said they had",
            "%d of %d".formatted(a.never(), a.alarms()),
            "none",
            OURS,
            a.never() == 0 ? Verdict.GOOD : Verdict.BAD));
  }

  private static Row deliveries(Optional<Deliveries> deliveries) {
    return deliveries
        .map(
            d ->
                new Row(
                    "deliveries",
                    "Messages to people that did not get through",
                    "%d of %d".formatted(d.failed(), d.tried()),
                    "none",
                    OURS,
                    d.failed() == 0 ? Verdict.GOOD : Verdict.BAD))
        .orElse(
            new Row(
                "deliveries",
                "Messages to people that did not get through",
                "not kept",
                "none",
                OURS,
                Verdict.NOT_JUDGED));
  }

  private static Row rate(
      String id, Duration period, String inIt, double value, int target, int limit, String source) {
    return new Row(
        id,
        "Calls " + inIt + ", on average",
        howOften(value, period, inIt),
        "%d or fewer, never over %d".formatted(target, limit),
        source,
        value <= target ? Verdict.GOOD : value <= limit ? Verdict.WORSE : Verdict.BAD);
  }

  /** One or more in a period as their number; fewer as one in how long, which can be pictured. */
  private static String howOften(double perPeriod, Duration period, String inIt) {
    if (perPeriod <= 0.0) {
      return "none";
    }
    if (perPeriod >= 0.95) {
      return String.format(Locale.ROOT, perPeriod < 9.95 ? "%.1f %s" : "%.0f %s", perPeriod, inIt);
    }
    double minutes = (double) period.toMinutes() / perPeriod;
    if (minutes < 99.5) {
      return "one in %d minutes".formatted(Math.round(minutes));
    }
    double hours = minutes / 60.0;
    return hours < 71.5
        ? "one in %d hours".formatted(Math.round(hours))
        : "one in %d days".formatted(Math.round(hours / 24.0));
  }

  private static Row share(String id, String measure, double share) {
    return new Row(
        id,
        measure,
        percent(share),
        "under 1 % of the time",
        SECONDARY,
        share < 0.01 ? Verdict.GOOD : Verdict.BAD);
  }

  private static Row none(String id, String measure, int count, String source) {
    return new Row(
        id,
        measure,
        Integer.toString(count),
        "none",
        source,
        count == 0 ? Verdict.GOOD : Verdict.BAD);
  }

  private static String floods(int count) {
    return "Time in rushes of calls, more than 10 in ten minutes (%d of them)".formatted(count);
  }

  private static String percent(double share) {
    double percent = 100.0 * share;
    return percent == Math.rint(percent) || percent >= 10.0
        ? Math.round(percent) + " %"
        : String.format(Locale.ROOT, "%.1f %%", percent);
  }

  private static String words(Optional<Duration> time) {
    return time.map(
            t -> {
              if (t.toSeconds() < 120) {
                return t.toSeconds() + " s";
              }
              return t.toMinutes() < 120 ? t.toMinutes() + " min" : t.toHours() + " h";
            })
        .orElse("nobody, for too many");
  }
}
