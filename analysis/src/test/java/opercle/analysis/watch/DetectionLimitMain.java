// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import java.util.function.Predicate;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.Priority;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;

/**
 * Sets the watch's mean delays on oxygen alone beside the best that any detector can do, for every
 * cell of {@code reference/detection_limit.csv}, and counts what it says in nights without a fall.
 * A whole {@link FarmWatch} over a stocked tank without a meter is fed as a replay feeds it.
 *
 * <pre>DetectionLimitMain LEAD_IN_SECONDS RUNS [INTERVAL_SECONDS [NIGHTS]]</pre>
 *
 * <p>Prints, for each rate of fall, mean delay over best for any alarm and for one of high
 * priority; before them, with NIGHTS, the calls of either kind in that many nights without a fall.
 */
final class DetectionLimitMain {

  private static final String TANK = "t1";
  private static final double NIGHT_SECONDS = 12.0 * 3600.0;
  private static final double LONGEST_SECONDS = 7200.0;

  private DetectionLimitMain() {}

  /** One line of the table; seconds, mg/L, (mg/L)/min. */
  record Cell(double interval, double noise, double t90, double wander, double rate, double best) {}

  /** Mean delays, seconds; a run in which nothing was raised counts with two hours. */
  record Delays(double any, double high, int missed) {}

  static List<Cell> cells() throws IOException {
    List<Cell> cells = new ArrayList<>();
    try (InputStream in =
        Objects.requireNonNull(
            DetectionLimitMain.class.getResourceAsStream("/reference/detection_limit.csv"))) {
      String table = new String(in.readAllBytes(), StandardCharsets.UTF_8);
      for (String line : table.lines().filter(l -> Character.isDigit(l.charAt(0))).toList()) {
        List<String> f = List.of(line.split(",", -1));
        cells.add(
            new Cell(
                Double.parseDouble(f.get(0)),
                Double.parseDouble(f.get(1)),
                Double.parseDouble(f.get(2)),
                Double.parseDouble(f.get(3)),
                Double.parseDouble(f.get(4)),
                Double.parseDouble(f.get(5))));
      }
    }
    return cells;
  }

  /** Mean delays of a cell. A run that raised something before the fall is drawn anew. */
  static Delays delays(Cell cell, double leadIn, int runs) {
    double any = 0.0;
    double high = 0.0;
    int missed = 0;
    int done = 0;
    for (long seed = 1; done < runs; seed++) {
      Run run = new Run(cell, seed, leadIn);
      if (run.play()) {
        any += Math.min(LONGEST_SECONDS, run.firstAny - run.onset);
        high += Math.min(LONGEST_SECONDS, run.firstHigh - run.onset);
        missed += Double.isInfinite(run.firstHigh) ? 1 : 0;
        done++;
      }
    }
    return new Delays(any / runs, high / runs, missed);
  }

  private static final class Run {
    private final FarmWatch watch =
        new FarmWatch(SallowmereTanks.farm(SallowmereTanks.transport()));
    private final Signals signal;
    private final double interval;
    private final double onset;
    private double firstAny = Double.POSITIVE_INFINITY;
    private double firstHigh = Double.POSITIVE_INFINITY;
    private double lastWarmth = -60.0;

    Run(Cell cell, long seed, double leadIn) {
      interval = cell.interval();
      signal =
          new Signals(7919L * seed, interval, cell.noise(), cell.t90(), cell.wander())
              .fallingFrom(leadIn, cell.rate());
      onset = signal.onset();
    }

    /** Whether nothing was raised before the onset. */
    boolean play() {
      while (Double.isInfinite(firstHigh) && signal.now() < onset + LONGEST_SECONDS) {
        List<AlarmEvent> events = step();
        boolean called = events.stream().anyMatch(calls(Priority.LOW));
        if (called && signal.now() < onset) {
          return false;
        }
        if (called && Double.isInfinite(firstAny)) {
          firstAny = signal.now();
        }
        if (events.stream().anyMatch(calls(Priority.HIGH))) {
          firstHigh = signal.now();
        }
      }
      return true;
    }

    private List<AlarmEvent> step() {
      double mgPerL = Math.max(0.0, signal.next());
      List<AlarmEvent> events = new ArrayList<>();
      if (signal.now() - lastWarmth >= 60.0) {
        lastWarmth = signal.now();
        events.addAll(watch.accept(at(Quantity.TEMPERATURE, 14.0)));
      }
      events.addAll(watch.accept(at(Quantity.OXYGEN, mgPerL)));
      events.addAll(watch.tick(SallowmereTanks.at(signal.now())));
      return events;
    }

    private Reading at(Quantity quantity, double value) {
      return SallowmereTanks.reading(TANK, quantity, signal.now(), value);
    }
  }

  private static Predicate<AlarmEvent> calls(Priority least) {
    return e ->
        (e.event() == AlarmEvent.Kind.RAISED || e.event() == AlarmEvent.Kind.ESCALATED)
            && e.priority().compareTo(least) <= 0;
  }

  /** Calls of any priority, and of high, in so many nights without a fall. */
  static int[] quiet(Cell cell, int nights) {
    int any = 0;
    int high = 0;
    for (int night = 0; night < nights; night++) {
      Run run = new Run(cell, 100_000L + night, 2.0 * NIGHT_SECONDS);
      while (run.signal.now() < NIGHT_SECONDS) {
        List<AlarmEvent> events = run.step();
        any += (int) events.stream().filter(calls(Priority.LOW)).count();
        high += (int) events.stream().filter(calls(Priority.HIGH)).count();
      }
    }
    return new int[] {any, high};
  }

  /** Prints the table. */
  public static void main(String[] args) throws IOException {
    double leadIn = Double.parseDouble(args[0]);
    int runs = Integer.parseInt(args[1]);
    double only = args.length > 2 ? Double.parseDouble(args[2]) : 0.0;
    int nights = args.length > 3 ? Integer.parseInt(args[3]) : 0;
    Cell row = new Cell(0, 0, 0, 0, 0, 0);
    StringBuilder line = new StringBuilder();
    for (Cell cell : cells()) {
      if (only != 0.0 && cell.interval() != only) {
        continue;
      }
      if (cell.rate() < row.rate() || row.rate() == 0.0) {
        System.out.println(line);
        line.setLength(0);
        line.append(
            String.format(
                Locale.ROOT,
                "%2.0f s, sd %.2f, T90 %2.0f, wander %.2f:",
                cell.interval(),
                cell.noise(),
                cell.t90(),
                cell.wander()));
        if (nights > 0) {
          int[] calls = quiet(cell, nights);
          line.append(String.format(Locale.ROOT, " [%d/%d in %d]", calls[0], calls[1], nights));
        }
      }
      row = cell;
      Delays d = delays(cell, leadIn, runs);
      line.append(
          String.format(
              Locale.ROOT,
              "  %.2f/%.2f%s",
              d.any() / cell.best(),
              d.high() / cell.best(),
              d.missed() > 0 ? "(" + d.missed() + "!)" : ""));
    }
    System.out.println(line);
  }
}
