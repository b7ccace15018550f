// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.trips;

import java.awt.geom.Rectangle2D;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZonedDateTime;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import opercle.analysis.trip.OxygenFigures;
import opercle.analysis.trip.Review;
import opercle.analysis.trip.TripEntry.StopCheck;
import opercle.analysis.trip.TripTrace;
import opercle.analysis.trip.WatchSaw;
import opercle.analysis.watch.TankEvent;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;

/**
 * The picture of a trip: the oxygen with its floors over the gas, and what happened, as marks on a
 * sheet of {@link #WIDTH} by {@link #HEIGHT}, y downwards. Forms are drawn from it. Pure.
 *
 * @param marks in the order of drawing
 */
public record TripDrawing(List<Mark> marks) {

  /** Width of the sheet. */
  public static final double WIDTH = 760.0;

  /** Height of the sheet. */
  public static final double HEIGHT = 376.0;

  private static final double LEFT = 44.0;
  private static final double RIGHT = 752.0;
  private static final double TOP = 34.0;
  private static final double FOOT = 236.0;
  private static final double GAS_TOP = 262.0;
  private static final double GAS_FOOT = 312.0;
  private static final int COLUMNS = 700;

  /** Width of a letter, at most. */
  private static final double LETTER = 7.0;

  private static final long[] STEPS = {
    60, 120, 300, 600, 900, 1800, 3600, 7200, 14_400, 43_200, 86_400
  };

  public TripDrawing {
    marks = List.copyOf(marks);
  }

  /** What a mark stands for; forms give each its look. */
  public enum Kind {
    GRID,
    GAP,
    TRACE,
    GAS,
    FLOOR,
    CRITICAL,
    ALARM,
    CHECK,
    EVENT,
    FAILURE,
    WORDS,
    STRONG
  }

  /** Something on the sheet. */
  public sealed interface Mark {

    /** What it stands for. */
    Kind kind();

    /** A line through points: x, y, x, y, … */
    record Line(Kind kind, List<Double> points) implements Mark {}

    /** A filled box. */
    record Box(Kind kind, double x, double y, double width, double height) implements Mark {}

    /** Words; at 0 the point is their start, at 1 their end. */
    record Words(Kind kind, double x, double y, double anchor, String text) implements Mark {}
  }

  /** Draws a review. */
  public static TripDrawing of(Review review, TripTrace trace, ZoneId zone) {
    return new Pen(review, trace, zone).draw();
  }

  private static final class Pen {

    private final Review review;
    private final TripTrace trace;
    private final ZoneId zone;
    private final DateTimeFormatter clock;
    private final List<Mark> marks = new ArrayList<>();
    private double most;

    Pen(Review review, TripTrace trace, ZoneId zone) {
      this.review = review;
      this.trace = trace;
      this.zone = zone;
      this.clock = DateTimeFormatter.ofPattern("HH:mm", Locale.ROOT).withZone(zone);
    }

    TripDrawing draw() {
      List<Reading> oxygen = oxygen();
      double highest = oxygen.stream().mapToDouble(Reading::value).max().orElse(10.0);
      most = 2.0 * Math.ceil(0.5 * (1.05 * Math.max(highest, trip().keepMgPerL() + 1.0)));
      grid();
      gaps();
      line(Kind.FLOOR, LEFT, y(trip().keepMgPerL()), RIGHT, y(trip().keepMgPerL()));
      line(Kind.CRITICAL, LEFT, y(trip().criticalMgPerL()), RIGHT, y(trip().criticalMgPerL()));
      alarms();
      failures();
      trace(Kind.TRACE, oxygen, v -> y(v));
      gas();
      checksAndEvents();
      floorWords(trip().keepMgPerL(), "keep floor");
      floorWords(trip().criticalMgPerL(), "critical floor");
      List<Mark> wordsOnTop = new ArrayList<>(marks);
      wordsOnTop.sort(Comparator.comparing(mark -> mark instanceof Mark.Words));
      return new TripDrawing(wordsOnTop);
    }

    private opercle.analysis.trip.TripLimits trip() {
      return review.log().trip().limits();
    }

    /** The readings of the probe that the review goes by. */
    private List<Reading> oxygen() {
      String probe = review.oxygen().map(OxygenFigures::probe).orElse("");
      return readings(Quantity.OXYGEN, probe);
    }

    private List<Reading> readings(Quantity quantity, String probe) {
      return trace.readings().stream()
          .filter(r -> r.quantity() == quantity && (probe.isEmpty() || r.probe().equals(probe)))
          .filter(r -> !r.time().isBefore(trace.from()) && !r.time().isAfter(trace.to()))
          .sorted(Comparator.comparing(Reading::time))
          .toList();
    }

    private double x(Instant time) {
      double share =
          (double) Duration.between(trace.from(), time).toMillis()
              / Math.max(1L, Duration.between(trace.from(), trace.to()).toMillis());
      return LEFT + Math.max(0.0, Math.min(1.0, share)) * (RIGHT - LEFT);
    }

    private double y(double mgPerL) {
      return FOOT - Math.max(0.0, mgPerL) / most * (FOOT - TOP);
    }

    private void grid() {
      double step = most > 20.0 ? 5.0 : 2.0;
      for (double level = 0.0; level <= most + 1e-9; level += step) {
        line(Kind.GRID, LEFT, y(level), RIGHT, y(level));
        words(Kind.WORDS, LEFT - 6, y(level) + 4, 1, String.format(Locale.ROOT, "%.0f", level));
      }
      words(Kind.STRONG, 2, 14, 0, "Oxygen, mg/L");
      long seconds = Duration.between(trace.from(), trace.to()).toSeconds();
      long every = STEPS[STEPS.length - 1];
      for (int i = STEPS.length - 1; i >= 0; i--) {
        every = seconds / STEPS[i] <= 8 ? STEPS[i] : every;
      }
      long at =
          every * -Math.floorDiv(-offset(trace.from()) - trace.from().getEpochSecond(), every)
              - offset(trace.from());
      for (; at <= trace.to().getEpochSecond(); at += every) {
        Instant tick = Instant.ofEpochSecond(at);
        line(Kind.GRID, x(tick), TOP, x(tick), GAS_FOOT);
        if (x(tick) > LEFT + 14 && x(tick) < RIGHT - 14) {
          words(Kind.WORDS, x(tick), GAS_FOOT + 16, 0.5, clock.format(tick));
        }
      }
    }

    private long offset(Instant at) {
      return ZonedDateTime.ofInstant(at, zone).getOffset().getTotalSeconds();
    }

    private void gaps() {
      review
          .oxygen()
          .ifPresent(
              o -> {
                for (OxygenFigures.Gap gap : o.gaps()) {
                  double from = x(gap.from());
                  double width = Math.max(1.0, x(gap.to()) - from);
                  marks.add(new Mark.Box(Kind.GAP, from, TOP, width, FOOT - TOP));
                  if (width > 60) {
                    words(Kind.WORDS, from + width / 2, TOP + 14, 0.5, "not known");
                  }
                }
              });
    }

    /** Above or under its line, at the first place where nothing is drawn. */
    private void floorWords(double mgPerL, String text) {
      double width = LETTER * text.length();
      for (double up : new double[] {-4, 12}) {
        for (double at = LEFT + 4; at + width < RIGHT; at += LETTER) {
          var place = new Rectangle2D.Double(at - 2, y(mgPerL) + up - 10, width + 4, 13);
          if (y(mgPerL) + up < FOOT && marks.stream().noneMatch(mark -> touches(mark, place))) {
            words(Kind.WORDS, at, y(mgPerL) + up, 0, text);
            return;
          }
        }
      }
      words(Kind.WORDS, LEFT + 4, y(mgPerL) - 4, 0, text);
    }

    private static boolean touches(Mark mark, Rectangle2D place) {
      if (mark instanceof Mark.Line line) {
        List<Double> p = line.points();
        for (int i = 0; i + 3 < p.size(); i += 2) {
          if (place.intersectsLine(p.get(i), p.get(i + 1), p.get(i + 2), p.get(i + 3))) {
            return true;
          }
        }
        return false;
      }
      if (mark instanceof Mark.Box box) {
        return place.intersects(box.x(), box.y(), box.width(), box.height());
      }
      return mark instanceof Mark.Words words
          && place.intersects(
              words.x() - words.anchor() * LETTER * words.text().length(),
              words.y() - 10,
              LETTER * words.text().length(),
              13);
    }

    private void alarms() {
      for (WatchSaw saw : review.watch()) {
        if (!saw.isTold()) {
          continue;
        }
        line(Kind.ALARM, x(saw.at()), TOP - 8, x(saw.at()), FOOT);
        String shape =
            switch (saw.priority()) {
              case HIGH -> "Act now";
              case MEDIUM -> "Go and look";
              case LOW -> "When you can";
            };
        if (lastWordsAt(TOP - 12) < x(saw.at()) - 4 && x(saw.at()) < RIGHT - 50) {
          words(Kind.STRONG, x(saw.at()), TOP - 12, 0, shape);
        }
      }
    }

    /** Where the last words on a height end, so that none lie on others. */
    private double lastWordsAt(double y) {
      return marks.stream()
          .filter(m -> m instanceof Mark.Words w && w.y() == y)
          .mapToDouble(
              m ->
                  m instanceof Mark.Words w
                      ? w.x() + (1 - w.anchor()) * LETTER * w.text().length()
                      : 0)
          .max()
          .orElse(0.0);
    }

    private void failures() {
      review
          .failures()
          .forEach(
              f -> {
                double from = x(f.at().minus(f.tolerance()));
                double width = Math.max(1.5, x(f.at().plus(f.tolerance())) - from);
                marks.add(new Mark.Box(Kind.FAILURE, from, TOP, width, FOOT - TOP));
                boolean left = x(f.at()) > RIGHT - 130;
                words(
                    Kind.STRONG,
                    left ? from - 4 : from + width + 4,
                    FOOT - 6,
                    left ? 1 : 0,
                    "began to fall " + clock.format(f.at()));
              });
    }

    private void gas() {
      List<Reading> flow = readings(Quantity.GAS_FLOW, "");
      words(Kind.STRONG, 2, GAS_TOP - 9, 0, "Gas, L/min");
      if (flow.isEmpty()) {
        words(Kind.WORDS, LEFT + 4, GAS_FOOT - 18, 0, "no gas meter");
        return;
      }
      double highest = Math.max(0.1, flow.stream().mapToDouble(Reading::value).max().orElse(1.0));
      double room = GAS_FOOT - GAS_TOP;
      line(Kind.GRID, LEFT, GAS_FOOT, RIGHT, GAS_FOOT);
      words(Kind.WORDS, LEFT - 6, GAS_FOOT + 4, 1, "0");
      words(Kind.WORDS, LEFT - 6, GAS_TOP + 8, 1, String.format(Locale.ROOT, "%.1f", highest));
      String probe = flow.get(0).probe();
      trace(
          Kind.GAS,
          flow.stream().filter(r -> r.probe().equals(probe)).toList(),
          v -> GAS_FOOT - Math.max(0.0, v) / highest * room);
    }

    private void checksAndEvents() {
      double y = HEIGHT - 24;
      words(Kind.STRONG, 2, y, 0, "Done");
      for (StopCheck check : review.checks()) {
        line(Kind.CHECK, x(check.time()), TOP, x(check.time()), GAS_FOOT + 22);
        note(x(check.time()), y, "Check: " + check.fish().words());
      }
      for (TankEvent event : trace.events()) {
        line(Kind.EVENT, x(event.time()), TOP, x(event.time()), GAS_FOOT + 22);
        note(x(event.time()), HEIGHT - 8, event.kind().id().replace('-', ' '));
      }
    }

    private void note(double x, double y, String text) {
      boolean left = x > RIGHT - 150;
      double start = left ? x - LETTER * text.length() : x;
      if (start > lastWordsAt(y) + 4) {
        words(Kind.WORDS, x, y, left ? 1 : 0, text);
      }
    }

    private interface Height {
      double at(double value);
    }

    /** Each column of the sheet with its lowest and highest reading; a gap breaks the line. */
    private void trace(Kind kind, List<Reading> readings, Height height) {
      List<Double> points = new ArrayList<>();
      Duration usual = usual(readings);
      int i = 0;
      while (i < readings.size()) {
        int column = column(readings.get(i));
        int low = i;
        int high = i;
        int end = i;
        while (end < readings.size() && column(readings.get(end)) == column) {
          low = readings.get(end).value() < readings.get(low).value() ? end : low;
          high = readings.get(end).value() > readings.get(high).value() ? end : high;
          end++;
        }
        add(points, readings.get(Math.min(low, high)), height);
        if (low != high) {
          add(points, readings.get(Math.max(low, high)), height);
        }
        boolean breaks =
            end < readings.size()
                && Duration.between(readings.get(end - 1).time(), readings.get(end).time())
                        .compareTo(usual.multipliedBy(3).plusSeconds(30))
                    > 0;
        if (breaks) {
          finish(kind, points);
          points = new ArrayList<>();
        }
        i = end;
      }
      finish(kind, points);
    }

    private void finish(Kind kind, List<Double> points) {
      if (points.size() >= 4) {
        marks.add(new Mark.Line(kind, List.copyOf(points)));
      }
    }

    private void add(List<Double> points, Reading reading, Height height) {
      points.add(x(reading.time()));
      points.add(height.at(reading.value()));
    }

    private int column(Reading reading) {
      return (int) ((x(reading.time()) - LEFT) / (RIGHT - LEFT) * COLUMNS);
    }

    private static Duration usual(List<Reading> readings) {
      return readings.size() < 2
          ? Duration.ZERO
          : Duration.between(readings.get(0).time(), readings.get(readings.size() - 1).time())
              .dividedBy(readings.size() - 1);
    }

    private void line(Kind kind, double x1, double y1, double x2, double y2) {
      marks.add(new Mark.Line(kind, List.of(x1, y1, x2, y2)));
    }

    private void words(Kind kind, double x, double y, double anchor, String text) {
      marks.add(new Mark.Words(kind, x, y, anchor, text));
    }
  }
}
