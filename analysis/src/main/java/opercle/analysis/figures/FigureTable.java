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

  private static final String HSE = "HSE Chemicals Sheet 6, citing EEMUA 191";
  private static final String SECONDARY = "EEMUA 191 and ISA-18.2, from secondary accounts";
  private static final String MEMORY = "ISA-18.2, from memory";
  private static final String OURS = "ours";

  /** Below so many calls a share says nothing. */
  private static final int FEWEST_FOR_SHARES = 100;

  private static final int FEWEST_WAKINGS = 5;

  private FigureTable() {}

  /** The lines, in the same order; what is not kept has none. */
  public static List<Row> of(AlarmFigures f) {
    List<Row> rows = new ArrayList<>();
    rows.add(
        new Row(
            "calls",
            "Calls for somebody",
            "%d (high %d, medium %d, low %d)"
                .formatted(
                    f.calls(),
                    f.byPriority().getOrDefault(Priority.HIGH, 0),
                    f.byPriority().getOrDefault(Priority.MEDIUM, 0),
                    f.byPriority().getOrDefault(Priority.LOW, 0)),
            "about 5 % high, 15 % medium, 80 % low",
            SECONDARY,
            Verdict.NOT_JUDGED));
    rows.add(rate("per-ten-minutes", "Calls in ten minutes, mean", f.perTenMinutes(), 1, 2, HSE));
    rows.add(rate("per-hour", "Calls an hour, mean", f.perHour(), 6, 12, MEMORY));
    rows.add(rate("per-day", "Calls a day, mean", f.perDay(), 150, 300, SECONDARY));
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
            "The ten most frequent alarms’ share",
            percent(f.mostFrequentShare()),
            "under 5 %",
            MEMORY,
            f.calls() < FEWEST_FOR_SHARES
                ? Verdict.NOT_JUDGED
                : f.mostFrequentShare() < 0.05 ? Verdict.GOOD : Verdict.BAD));
    rows.add(
        none("chattering", "Alarms raised three times in a minute", f.chattering().size(), MEMORY));
    rows.add(
        new Row(
            "standing",
            "Alarms standing for over 24 h, the most on any day",
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
    rows.add(none("missing", "Events missing in this history", f.missingEvents(), OURS));
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
            judged == 0 ? "–" : percent((double) right / judged),
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
            a.alarms() == 0 ? "–" : words(a.median()),
            "",
            "",
            Verdict.NOT_JUDGED),
        new Row(
            "acknowledged-ninety",
            "Nine of ten within",
            a.alarms() == 0 ? "–" : words(a.ninety()),
            "",
            "",
            Verdict.NOT_JUDGED),
        new Row(
            "never-acknowledged",
            "High alarms that nobody said they had",
            "%d of %d".formatted(a.never(), a.alarms()),
            "0",
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
                    "0",
                    OURS,
                    d.failed() == 0 ? Verdict.GOOD : Verdict.BAD))
        .orElse(
            new Row(
                "deliveries",
                "Messages to people that did not get through",
                "not kept",
                "0",
                OURS,
                Verdict.NOT_JUDGED));
  }

  private static Row rate(
      String id, String measure, double value, double target, double limit, String source) {
    return new Row(
        id,
        measure,
        figure(value),
        "%s or fewer, limit %s".formatted(figure(target), figure(limit)),
        source,
        value <= target ? Verdict.GOOD : value <= limit ? Verdict.WORSE : Verdict.BAD);
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
        id, measure, Integer.toString(count), "0", source, count == 0 ? Verdict.GOOD : Verdict.BAD);
  }

  private static String floods(int count) {
    return count == 1 ? "In the one flood" : "In %d floods".formatted(count);
  }

  private static String figure(double value) {
    return value == Math.rint(value) || value >= 10.0
        ? Long.toString(Math.round(value))
        : String.format(Locale.ROOT, value < 0.1 ? "%.3f" : "%.1f", value);
  }

  private static String percent(double share) {
    double percent = 100.0 * share;
    return percent == Math.rint(percent) || percent >= 10.0
        ? Math.round(percent) + " %"
        : String.format(Locale.ROOT, "%.2f %%", percent);
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
