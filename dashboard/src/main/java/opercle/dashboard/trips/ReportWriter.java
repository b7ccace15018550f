// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.trips;

import static opercle.dashboard.trips.Said.band;
import static opercle.dashboard.trips.Said.exactly;
import static opercle.dashboard.trips.Said.number;
import static opercle.dashboard.trips.Said.span;
import static opercle.dashboard.trips.Said.text;

import java.time.Duration;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.function.UnaryOperator;
import java.util.stream.Collectors;
import opercle.analysis.trip.Failure;
import opercle.analysis.trip.GasFigures;
import opercle.analysis.trip.Lesson;
import opercle.analysis.trip.MeterCheck;
import opercle.analysis.trip.OxygenFigures;
import opercle.analysis.trip.Review;
import opercle.analysis.trip.Trip;
import opercle.analysis.trip.TripEntry;
import opercle.analysis.trip.TripEntry.StopCheck;
import opercle.analysis.trip.WatchSaw;
import opercle.dashboard.trips.TripReport.Fact;
import opercle.dashboard.trips.TripReport.Section;

/** Writes a report in the keeper's words. Made for one report and thrown away. */
final class ReportWriter {

  private static final String BREATHED = "mg of oxygen an hour for each kg of fish";
  private static final String GAS = "L of gas";

  private final Review review;
  private final Trip trip;
  private final UnaryOperator<String> movements;
  private final DateTimeFormatter clock;
  private final DateTimeFormatter day;
  private final List<Section> sections = new ArrayList<>();

  ReportWriter(Review review, ZoneId zone, UnaryOperator<String> movements) {
    this.movements = movements;
    this.review = review;
    this.trip = review.log().trip();
    this.clock = DateTimeFormatter.ofPattern("HH:mm:ss", Locale.UK).withZone(zone);
    this.day = DateTimeFormatter.ofPattern("d MMMM uuuu, HH:mm z", Locale.UK).withZone(zone);
  }

  TripReport report(List<String> papers) {
    whatItWas();
    if (!papers.isEmpty()) {
      sections.add(new Section("Papers to look at", List.of(), List.of(), papers));
    }
    oxygen();
    failures();
    demand();
    gas();
    checks();
    watch();
    lessons();
    written();
    boolean night = trip.kind() == Trip.Kind.NIGHT;
    String title =
        night
            ? "%s, a night".formatted(trip.tank().name())
            : trip.from().isEmpty() && trip.to().isEmpty()
                ? trip.tank().name()
                : "%s to %s".formatted(orDash(trip.from()), orDash(trip.to()));
    return new TripReport(
        title,
        "%s, %s%s%s"
            .formatted(
                day.format(review.from()),
                span(review.length()),
                review.log().isUnderWay() ? " so far" : "",
                review
                    .log()
                    .withdrawn()
                    .map(
                        gone ->
                            ". Withdrawn by %s, %s: %s"
                                .formatted(gone.by(), day.format(gone.time()), gone.why()))
                    .orElse("")),
        sections);
  }

  private void whatItWas() {
    List<Fact> facts = new ArrayList<>();
    trip.vehicle().ifPresent(v -> facts.add(new Fact("Vehicle", v)));
    facts.add(
        new Fact(
            "Tank",
            text("%s, %s L of water", trip.tank().name(), number(trip.tank().waterLitres()))));
    facts.add(
        new Fact(
            "Load", trip.load().stream().map(EntryWords::load).collect(Collectors.joining("; "))));
    facts.add(
        new Fact(
            "Limits",
            text(
                "oxygen not under %.1f mg/L, the keep floor; fish are harmed under %.1f mg/L, the"
                    + " critical floor; not over %.0f %% of saturation",
                trip.limits().keepMgPerL(),
                trip.limits().criticalMgPerL(),
                trip.limits().upperPercent())));
    trip.expectedMinutes()
        .ifPresent(m -> facts.add(new Fact("Expected", text("%.0f min on the road", m))));
    trip.plan()
        .ifPresent(
            p ->
                facts.add(
                    new Fact(
                        "Plan",
                        text(
                            "the fish breathe %s; oxygen is lowest at %.1f mg/L; %s are used",
                            band(p.demandMgPerKgPerHour(), BREATHED),
                            p.lowestMgPerL().likely(),
                            band(p.gasLitres(), GAS)))));
    if (!trip.movements().isEmpty()) {
      facts.add(
          new Fact(
              trip.movements().size() == 1 ? "Movement record" : "Movement records",
              trip.movements().stream().map(movements).collect(Collectors.joining("; "))));
    }
    review
        .log()
        .unloaded()
        .ifPresent(
            out ->
                facts.add(
                    new Fact(
                        "Losses",
                        out.losses().isEmpty() ? "not written down" : EntryWords.losses(out))));
    add("The trip", facts);
  }

  private void oxygen() {
    if (review.oxygen().isEmpty()) {
      sections.add(
          new Section(
              "Oxygen",
              List.of(),
              List.of(),
              List.of("No oxygen reading of this time is kept here.")));
      return;
    }
    OxygenFigures o = review.oxygen().get();
    List<Fact> facts = new ArrayList<>();
    facts.add(
        new Fact("Lowest", text("%.2f mg/L at %s", o.lowestMgPerL(), clock.format(o.lowestAt()))));
    facts.add(new Fact("Below the keep floor", exactly(o.belowKeep())));
    facts.add(new Fact("Below the critical floor", exactly(o.belowCritical())));
    if (o.highestPercent().isPresent()) {
      facts.add(
          new Fact(
              "Highest",
              text(
                  "%.0f %% of saturation at %s; above the limit %s",
                  o.highestPercent().getAsDouble(),
                  clock.format(o.highestAt().orElseThrow()),
                  exactly(o.aboveUpper()))));
    }
    facts.add(
        new Fact(
            "Not known",
            o.gaps().isEmpty()
                ? "nothing: there is no gap"
                : exactly(o.unknown())
                    + ": "
                    + o.gaps().stream()
                        .limit(6)
                        .map(g -> clock.format(g.from()) + "–" + clock.format(g.to()))
                        .collect(Collectors.joining(", "))
                    + (o.gaps().size() > 6 ? ", and more" : "")));
    add("Oxygen", facts);
  }

  /** Each under a heading of its own: two falls of one trip are two parts of its page. */
  private void failures() {
    for (Failure f :
        review.failures().stream().sorted(Comparator.comparing(Failure::at)).toList()) {
      add(
          "When oxygen began to fall"
              + (review.failures().size() > 1 ? ", " + clock.format(f.at()) : ""),
          List.of(
              new Fact(
                  "Oxygen began to fall",
                  text(
                      "at %s, give or take %d s", clock.format(f.at()), f.tolerance().toSeconds())),
              new Fact(
                  "It fell by", text("%.2f mg/L a minute", -f.slopeAfterMgPerLPerHour() / 60.0)),
              new Fact(
                  "The gas meter",
                  f.meterStopped().map(t -> "stopped at " + clock.format(t)).orElse(meter(f))),
              new Fact(
                  "The watch told of it",
                  f.toldAt()
                      .map(
                          t ->
                              "at %s, %s after"
                                  .formatted(
                                      clock.format(t), span(f.toldAfter().orElse(Duration.ZERO))))
                      .orElse("never"))));
    }
  }

  private static String meter(Failure f) {
    if (f.meterRose()) {
      return text(
          "rose from %.1f to %.1f L/min: gas escaped behind it",
          f.meterBefore().orElse(0.0), f.meterAfter().orElse(0.0));
    }
    if (f.meterFell()) {
      return text(
          "went from %.1f to %.1f L/min: less gas came",
          f.meterBefore().orElse(0.0), f.meterAfter().orElse(0.0));
    }
    return f.meterBefore().isPresent() ? "showed nothing of it" : "there was none";
  }

  private void demand() {
    List<Fact> facts = new ArrayList<>();
    review
        .demand()
        .ifPresent(
            d -> {
              facts.add(
                  new Fact(
                      "Measured",
                      text(
                          "%s; in water of %.1f °C, %s",
                          band(d.mgPerKgPerHour(), BREATHED), d.temperatureC(), d.way().words())));
              if (!d.isSure()) {
                facts.add(
                    new Fact(
                        "How sure",
                        "not very: it stands on what the diffuser is reckoned to give"));
              }
            });
    trip.plan()
        .ifPresent(p -> facts.add(new Fact("Planned", band(p.demandMgPerKgPerHour(), BREATHED))));
    review
        .earlier()
        .ifPresent(
            e ->
                facts.add(
                    new Fact(
                        "Earlier trips",
                        text(
                            "%s; from %d %s",
                            band(e.mgPerKgPerHour(), BREATHED),
                            e.trips(),
                            e.trips() == 1 ? "trip" : "trips"))));
    if (review.demand().isEmpty()) {
      facts.add(
          new Fact(
              "Measured",
              review.unmeasured().isEmpty()
                  ? "nothing: no stretch was long and clear enough to read it from"
                  : "nothing"));
    }
    sections.add(new Section("What the fish breathed", facts, List.of(), whyNotMeasured()));
  }

  private List<String> whyNotMeasured() {
    return review.unmeasured().stream().map(why -> "Not read with the gas off. " + why).toList();
  }

  private void gas() {
    GasFigures g = review.gas();
    List<Fact> facts = new ArrayList<>();
    g.usedLitres()
        .ifPresent(
            l ->
                facts.add(
                    new Fact(
                        "Used",
                        text(
                            "%.0f L of gas, as at 15 °C, by the %s%s",
                            l,
                            g.byMeter() ? "meter" : "gauge",
                            g.unknown().compareTo(Duration.ofMinutes(1)) > 0
                                ? "; it was silent for " + span(g.unknown())
                                : ""))));
    g.plannedLitres().ifPresent(p -> facts.add(new Fact("Planned", band(p, GAS))));
    if (g.barAtStart().isPresent()) {
      facts.add(new Fact("Cylinder at loading", text("%.0f bar", g.barAtStart().getAsDouble())));
    }
    if (g.barAtEnd().isPresent()) {
      facts.add(
          new Fact(
              "Cylinder at the end",
              text(
                  "%.0f bar%s",
                  g.barAtEnd().getAsDouble(),
                  g.barAtEndIsReckoned() ? ", reckoned from the gas used" : "")));
    }
    if (!facts.isEmpty()) {
      add("Gas", facts);
    }
  }

  private void checks() {
    List<List<String>> table = new ArrayList<>();
    table.add(List.of("At", "Who", "Fish", "Oxygen", "Water", "Gas set", "Note"));
    for (StopCheck c : review.checks()) {
      table.add(
          List.of(
              clock.format(c.time()),
              c.by(),
              c.fish().words(),
              c.oxygenMgPerL().isPresent()
                  ? text("%.1f mg/L", c.oxygenMgPerL().getAsDouble())
                  : "–",
              c.temperatureC().isPresent() ? text("%.1f °C", c.temperatureC().getAsDouble()) : "–",
              c.gasLPerMin().isPresent() ? text("%.1f L/min", c.gasLPerMin().getAsDouble()) : "–",
              c.note()));
    }
    if (table.size() > 1) {
      List<String> lines = new ArrayList<>();
      for (MeterCheck m : review.meters()) {
        lines.add(
            text(
                "%s, %s: %.1f %s by the hand meter, %.1f %s by the probe%s.",
                clock.format(m.at()),
                m.quantity(),
                m.handMeter(),
                m.unit(),
                m.probe(),
                m.unit(),
                EntryWords.differs(m)));
      }
      sections.add(new Section("Checks at the stops", List.of(), table, lines));
    }
  }

  private void watch() {
    List<List<String>> table = new ArrayList<>();
    table.add(List.of("At", "How urgent", "What the watch said"));
    for (WatchSaw saw : review.watch()) {
      table.add(
          List.of(
              clock.format(saw.at()),
              switch (saw.priority()) {
                case HIGH -> "Act now";
                case MEDIUM -> "Go and look";
                case LOW -> "When you can";
              },
              saw.message()));
    }
    boolean quiet = table.size() == 1;
    sections.add(
        new Section(
            "What the watch saw",
            List.of(),
            quiet ? List.of() : table,
            quiet ? List.of("It raised no alarm.") : List.of()));
  }

  private void lessons() {
    List<String> lines = review.lessons().stream().map(Lesson::words).toList();
    sections.add(
        new Section(
            "Next time",
            List.of(),
            List.of(),
            lines.isEmpty() ? List.of("Nothing stands out. Do it like that again.") : lines));
  }

  private void written() {
    List<String> lines = new ArrayList<>();
    review
        .log()
        .unloaded()
        .filter(out -> !out.note().isEmpty())
        .ifPresent(out -> lines.add("At unloading: " + out.note()));
    for (TripEntry old : review.log().replaced()) {
      lines.add(
          "What %s wrote for %s was corrected later; both are kept. It said: %s."
              .formatted(old.by(), clock.format(old.time()), EntryWords.of(old)));
    }
    lines.add(
        "A reading counts until the next one, for three usual intervals at most; what is longer is"
            + " not known. The monitor is a second pair of eyes, never a reason to skip a check.");
    sections.add(new Section("Notes", List.of(), List.of(), lines));
  }

  private void add(String heading, List<Fact> facts) {
    sections.add(new Section(heading, facts, List.of(), List.of()));
  }

  private static String orDash(String words) {
    return words.isEmpty() ? "–" : words;
  }
}
