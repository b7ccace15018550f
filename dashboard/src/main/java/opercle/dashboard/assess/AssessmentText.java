// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.stream.Collectors;
import opercle.dashboard.assess.FaultRow.Summary;

/** An assessment as plain tables, at most 100 columns wide. One thread only. */
final class AssessmentText {

  private static final String NEVER = "-";
  private static final double MINUTES_FROM_SECONDS = 100.0;
  private static final double HOURS_FROM_SECONDS = 100.0 * 60.0;

  private final StringBuilder out = new StringBuilder();

  private AssessmentText() {}

  static String of(Assessment assessment) {
    AssessmentText text = new AssessmentText();
    text.head(assessment.plan());
    text.faults(assessment.faults());
    text.besideTheRules(assessment.faults());
    text.falseAlarms(assessment.falseAlarms());
    text.probes(assessment.probes());
    text.calibration(assessment.calibration());
    text.confusion(assessment.confusion());
    return text.out.toString();
  }

  private void head(AssessmentPlan plan) {
    line("The tank watch against simulated nights");
    line(
        "%d nights of 12 h, seed %d (%s), instruments %s",
        plan.nights(),
        plan.seed(),
        plan.isForDevelopment() ? "for development: not to be reported" : "for reporting",
        plan.changes().words());
    out.append("Simulation alone supports no claim about a farm.");
  }

  private void faults(List<FaultRow> rows) {
    heading(
        "Faults of supply and demand",
        "n: nights played. Judged are those in which the critical floor is reached. Delays are those of",
        "the watch's calls of high priority, from the true onset; a night without a call is later than",
        "any. left: median share of the time in hand still left at the call. any: median delay of calls",
        "of every priority. limit: least mean delay possible on oxygen alone where the fall begins with",
        "the onset, median over the nights.");
    row("%-35s %3s %7s %6s %6s %4s", "", "n", "noticed", "named", "missed", "open");
    continueRow(" %6s %6s %5s %6s %6s", "median", "95 %", "left", "any", "limit");
    for (FaultRow f : rows) {
      Summary watch = summary(f, Detector.WATCH);
      row(
          "%-35s %3d %7s %6s %6d %4d",
          f.kind(),
          f.nights(),
          ratio(watch.noticed(), watch.judged()),
          ratio(f.named(), f.harmful()),
          watch.missed(),
          watch.open());
      continueRow(
          " %6s %6s %5s %6s %6s",
          lasting(watch.medianDelaySeconds()),
          lasting(watch.p95DelaySeconds()),
          percent(watch.medianShareLeft()),
          lasting(f.anyPriority().medianDelaySeconds()),
          lasting(f.limitSeconds()));
    }
  }

  private void besideTheRules(List<FaultRow> rows) {
    heading(
        "The same beside plain rules: noticed of judged, median delay",
        "The meter's rule is judged in nights with a meter. What calls often notices much by luck: see",
        "its false alarms below.");
    row("%-35s", "");
    for (Detector d : Detector.values()) {
      continueRow(" %15s", d.title());
    }
    for (FaultRow f : rows) {
      row("%-35s", f.kind());
      for (Detector d : Detector.values()) {
        Summary s = summary(f, d);
        continueRow(" %7s %7s", ratio(s.noticed(), s.judged()), lasting(s.medianDelaySeconds()));
      }
    }
  }

  private void falseAlarms(List<FalseAlarmRow> rows) {
    heading(
        "False alarms of high priority",
        "per 100 tank-nights of 12 h, with the exact one-sided 95 % upper limit. A call is not false",
        "when the true oxygen is at its keep floor or below, or on its way to the critical floor.");
    row(
        "%-16s %-12s %12s %8s %10s %12s",
        "nights", "", "tank-nights", "calls", "per 100", "at most");
    for (FalseAlarmRow f : rows) {
      f.detectors()
          .forEach(
              (detector, count) ->
                  row(
                      "%-16s %-12s %12.1f %8d %10s %12s",
                      f.where(),
                      detector.title(),
                      count.tankNights(),
                      count.calls(),
                      count.tankNights() > 0.0 ? number(count.perHundredNights()) : NEVER,
                      count.tankNights() > 0.0
                          ? number(count.upperLimitPerHundredNights())
                          : NEVER));
      if (!f.causes().isEmpty()) {
        row(
            "%-16s   %s",
            "",
            f.causes().entrySet().stream()
                .map(e -> e.getKey() + " " + e.getValue())
                .collect(Collectors.joining(", ", "of the watch's: ", "")));
      }
    }
  }

  private void probes(List<ProbeRow> rows) {
    if (rows.isEmpty()) {
      return;
    }
    heading("Probe faults, the tank being well", "Alarms about a probe, of any priority.");
    row("%-35s %6s %8s %7s %7s", "", "nights", "told", "named", "median");
    for (ProbeRow p : rows) {
      row(
          "%-35s %6d %8s %7s %7s",
          p.kind(),
          p.nights(),
          ratio(p.told(), p.nights()),
          ratio(p.named(), p.nights()),
          lasting(p.medianDelaySeconds()));
    }
  }

  private void calibration(List<Calibration> rows) {
    heading(
        "Time in hand: did the stated band hold the true time to the critical floor?",
        "Percent of harmful nights, each weighing the same; meant: 80 % held. if gas stops: nights",
        "that lose all gas at once. wide: high bound over low bound, median of all bands stated.");
    row("%-28s %6s", "", "nights");
    for (Calibration.Verdict v : Calibration.Verdict.values()) {
      continueRow(" %9s", v.title());
    }
    continueRow(" %8s", "wide");
    for (Calibration c : rows) {
      row("%-28s %6d", c.what(), c.nights());
      for (double share : c.shares().values()) {
        continueRow(" %9s", c.nights() > 0 ? percent(OptionalDouble.of(share)) : NEVER);
      }
      continueRow(
          " %8s",
          c.medianSpread().isPresent() ? "× " + number(c.medianSpread().getAsDouble()) : NEVER);
    }
  }

  private void confusion(Confusion confusion) {
    List<String> columns = confusion.columns();
    List<String> legend = new ArrayList<>();
    for (int i = 0; i < columns.size(); i++) {
      legend.add(letter(i) + " " + columns.get(i));
    }
    heading("What each kind was first called", String.join(", ", legend));
    row("%-35s", "");
    for (int i = 0; i < columns.size(); i++) {
      continueRow(" %4s", letter(i));
    }
    confusion
        .rows()
        .forEach(
            (kind, row) -> {
              row("%-35s", kind.id());
              for (String column : columns) {
                continueRow(" %4s", countOrDot(row, column));
              }
            });
    out.append('\n');
  }

  private static String countOrDot(Map<String, Integer> row, String column) {
    Integer count = row.get(column);
    return count == null ? "." : count.toString();
  }

  private static char letter(int i) {
    return (char) ('a' + i);
  }

  private static Summary summary(FaultRow row, Detector detector) {
    Summary summary = row.detectors().get(detector);
    if (summary == null) {
      throw new IllegalStateException("no summary of " + detector);
    }
    return summary;
  }

  private static String ratio(int part, int whole) {
    return part + "/" + whole;
  }

  static String lasting(OptionalDouble seconds) {
    if (seconds.isEmpty()) {
      return NEVER;
    }
    double s = seconds.getAsDouble();
    return s < MINUTES_FROM_SECONDS
        ? cell("%.0f s", s)
        : s < HOURS_FROM_SECONDS ? cell("%.0f min", s / 60.0) : cell("%.1f h", s / 3600.0);
  }

  private static String percent(OptionalDouble share) {
    return share.isPresent() ? cell("%.0f %%", 100.0 * share.getAsDouble()) : NEVER;
  }

  private static String number(double value) {
    return value < 99.95 ? cell("%.1f", value) : cell("%.0f", value);
  }

  private static String cell(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }

  private void heading(String title, String... notes) {
    out.append("\n\n").append(title);
    for (String note : notes) {
      out.append('\n').append("  ").append(note);
    }
    out.append('\n');
  }

  private void line(String format, Object... values) {
    out.append(cell(format, values)).append('\n');
  }

  private void row(String format, Object... values) {
    out.append('\n').append(cell(format, values));
  }

  private void continueRow(String format, Object... values) {
    out.append(cell(format, values));
  }
}
