// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.plan;

import java.util.List;
import java.util.stream.Collectors;
import opercle.analysis.Band;
import opercle.analysis.farm.Tank.Gas;
import opercle.analysis.stock.Batch;

/**
 * A plan in plain text, verdict first, for a terminal or a telephone. Words carry the meaning, not
 * colours or signs; lines are wrapped to the width asked for. One thread only.
 */
public final class LoadPlanText {

  /** The narrowest that it is laid out for, columns. */
  public static final int NARROWEST = 40;

  private static final int USUAL_WIDTH = 80;

  private final int width;
  private final StringBuilder out = new StringBuilder();

  private LoadPlanText(int width) {
    if (width < NARROWEST) {
      throw new IllegalArgumentException(
          "load plan as text: width must be >= %d columns but was %d".formatted(NARROWEST, width));
    }
    this.width = width;
  }

  /** The plan at 80 columns, lines ended by a line feed. */
  public static String of(LoadPlan plan) {
    return of(plan, USUAL_WIDTH);
  }

  /** The plan at a width of 40 columns or more. */
  public static String of(LoadPlan plan, int width) {
    return new LoadPlanText(width).render(plan);
  }

  private String render(LoadPlan plan) {
    LoadPlanRequest request = plan.request();
    Outlook outlook = plan.outlook();
    String later = request.laterInWords();
    line(plan.verdict().words());
    paragraph("", asked(request));
    paragraph("", equipment(request));

    for (Verdict verdict : List.of(Verdict.DO_NOT_GO, Verdict.GO_WITH_CARE, Verdict.GO)) {
      List<Reason> reasons = plan.reasons().stream().filter(r -> r.verdict() == verdict).toList();
      if (!reasons.isEmpty()) {
        heading(
            switch (verdict) {
              case DO_NOT_GO -> "Against it";
              case GO_WITH_CARE -> "Take care";
              case GO -> "In order";
            });
        for (Reason reason : reasons) {
          paragraph("- ", told(reason));
          paragraph("  ", "Limit: " + reason.evidence() + ".");
        }
      }
    }

    heading("Gas to set (likely; low–high)");
    row("as the fish go in", outlook.flowNowLPerMin(), "L/min");
    row(later, outlook.flowAfterAnHourLPerMin(), "L/min");
    if (outlook.flowRises()) {
      row("rising to the end", outlook.flowAtEndLPerMin(), "L/min");
    }
    paragraph(
        "  ",
        "Watch the oxygen meter and turn to hold %s mg/L: the diffuser decides."
            .formatted(Say.number(outlook.targetMgPerL())));

    heading("Time in hand if the gas stops (likely; low–high)");
    time("as the fish go in", outlook.inHandAtLoadingMinutes());
    time(later, outlook.inHandAfterAnHourMinutes());
    if (request.minutes() > 60.0) {
      time("at the end", outlook.inHandAtEndMinutes());
    }

    heading("The fish breathe (likely; low–high)");
    row("as they go in", outlook.demandNowMgPerKgPerHour(), "mg/kg/h");
    row(later, outlook.demandAfterAnHourMgPerKgPerHour(), "mg/kg/h");

    heading("What would do");
    paragraph("  ", largest(plan));
    for (Remedy remedy : plan.remedies()) {
      paragraph("- ", remedy.verdict().words() + " with " + remedy.sentence());
    }
    if (plan.verdict() != Verdict.GO && plan.remedies().isEmpty()) {
      paragraph("- ", "No single change is enough.");
    }

    heading("What this stands on");
    plan.notes().forEach(n -> paragraph("- ", n));
    heading("Safety");
    plan.cautions().forEach(c -> paragraph("- ", c));
    return out.toString();
  }

  private static String told(Reason reason) {
    String topic = reason.topic().words();
    return reason.sentence().startsWith(topic)
        ? reason.sentence()
        : topic + ": " + reason.sentence();
  }

  private static String asked(LoadPlanRequest request) {
    String fish =
        request.load().batches().stream()
            .map(LoadPlanText::batch)
            .collect(Collectors.joining(" and "));
    String warming =
        request.riseC() == 0.0
            ? ""
            : " (%s at the end)".formatted(Say.degrees(request.endTemperatureC()));
    return "%s in %s L at %s%s, %s, %s through %s."
        .formatted(
            fish,
            Say.number(request.waterLitres()),
            Say.degrees(request.temperatureC()),
            warming,
            Say.minutes(request.minutes()),
            request.gas().id(),
            request.diffuser().id().replace('-', ' '));
  }

  private static String equipment(LoadPlanRequest request) {
    String flow =
        request.flowLPerMin().isPresent()
            ? "set to %s L/min".formatted(Say.number(request.flowLPerMin().getAsDouble()))
            : "as planned below";
    String cylinders =
        request
            .cylinders()
            .filter(c -> request.gas() == Gas.OXYGEN)
            .map(
                c ->
                    " %s × %s L at %s bar, %s bar to stay in reserve."
                        .formatted(
                            c.count(),
                            Say.number(c.waterLitres()),
                            Say.number(c.bar()),
                            Say.number(request.reserveBar())))
            .orElse("");
    return "%s m of water over the diffuser, flow %s.%s"
        .formatted(Say.number(request.depthM()), flow, cylinders);
  }

  private static String batch(Batch batch) {
    String size =
        batch.countedMassKg().isPresent()
            ? " of " + Say.number(batch.meanMassKg()) + " kg each"
            : "";
    return "%s kg of %s%s".formatted(Say.number(batch.kg()), batch.species().commonName(), size);
  }

  private static String largest(LoadPlan plan) {
    String go =
        plan.largestGoKg().isPresent()
            ? "%s kg"
                .formatted(Say.number(Alternatives.roundedDown(plan.largestGoKg().getAsDouble())))
            : "none as it stands";
    String care =
        plan.largestWithCareKg().isPresent()
            ? "%s kg"
                .formatted(
                    Say.number(Alternatives.roundedDown(plan.largestWithCareKg().getAsDouble())))
            : "none as it stands";
    return "Largest load of these fish that is GO: %s; with care: %s.".formatted(go, care);
  }

  private void line(String text) {
    out.append(text).append('\n');
  }

  private void heading(String text) {
    line("");
    paragraph("", text);
  }

  private void row(String label, Band band, String unit) {
    paragraph(
        "  ",
        "%-18s %s %s (%s)".formatted(label, Say.number(band.likely()), unit, Say.range(band)));
  }

  private void time(String label, Band minutes) {
    paragraph(
        "  ",
        "%-18s %s (%s)".formatted(label, Say.minutes(minutes.likely()), Say.minutesRange(minutes)));
  }

  /** Wraps at spaces; lines after the first are indented as far as the first one's text. */
  private void paragraph(String lead, String text) {
    String indent = " ".repeat(lead.length());
    StringBuilder current = new StringBuilder(lead);
    boolean empty = true;
    for (String word : text.split("(?<=\\S) (?=\\S)", -1)) {
      if (!empty && current.length() + 1 + word.length() > width) {
        line(current.toString());
        current = new StringBuilder(indent);
        empty = true;
      }
      current.append(empty ? "" : " ").append(word);
      empty = false;
    }
    line(current.toString());
  }
}
