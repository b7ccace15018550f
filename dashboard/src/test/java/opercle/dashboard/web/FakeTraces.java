// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.DoubleSummaryStatistics;
import java.util.List;
import java.util.function.LongToDoubleFunction;
import java.util.stream.Stream;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;

/** A day of readings every ten seconds for the farm of {@link FakeFarm#troubled}, from formulas. */
final class FakeTraces implements Traces {

  private static final long STEP_SECONDS = 10;

  /** Of others it has nothing. */
  private static final List<String> TANKS = List.of("h1", "h2", "h3", "q1", "t1");

  @Override
  public List<Series> series(String tank) {
    return Stream.of(Quantity.OXYGEN, Quantity.TEMPERATURE, Quantity.GAS_FLOW)
        .filter(quantity -> TANKS.contains(tank))
        .map(quantity -> new Series(tank, quantity, Reading.DEFAULT_PROBE))
        .toList();
  }

  @Override
  public List<Bucket> buckets(Series series, Instant from, Instant to, int count) {
    double length = Duration.between(from, to).toMillis() / 1000.0 / count;
    List<Bucket> buckets = new ArrayList<>();
    LongToDoubleFunction value = values(series);
    for (int i = 0; i < count; i++) {
      double start = from.getEpochSecond() + i * length;
      var in = new DoubleSummaryStatistics();
      long first = (long) Math.ceil(start / STEP_SECONDS) * STEP_SECONDS;
      for (long second = first; second < start + length; second += STEP_SECONDS) {
        if (isThere(series, second)) {
          in.accept(value.applyAsDouble(second));
        }
      }
      if (in.getCount() > 0) {
        Instant at = Instant.ofEpochMilli((long) (start * 1000.0));
        buckets.add(new Bucket(at, in.getMin(), in.getAverage(), in.getMax(), in.getCount()));
      }
    }
    return buckets;
  }

  @Override
  public List<Reading> readings(Series series, Instant from, Instant to) {
    LongToDoubleFunction value = values(series);
    List<Reading> readings = new ArrayList<>();
    long first = -Math.floorDiv(-from.getEpochSecond(), STEP_SECONDS) * STEP_SECONDS;
    for (long second = first; second < to.getEpochSecond(); second += STEP_SECONDS) {
      if (isThere(series, second)) {
        readings.add(
            new Reading(
                series.tank(),
                series.quantity(),
                series.probe(),
                Instant.ofEpochSecond(second),
                value.applyAsDouble(second)));
      }
    }
    return readings;
  }

  private static boolean isThere(Series series, long second) {
    long agoSeconds = FakeFarm.NIGHT.getEpochSecond() - second;
    boolean silent = series.tank().equals("q1") && agoSeconds < 412;
    return agoSeconds >= 0 && agoSeconds <= 90_000 && !silent;
  }

  /** Formulas that end at what {@link FakeFarm#troubled} says of now. */
  private static LongToDoubleFunction values(Series series) {
    long end = FakeFarm.NIGHT.getEpochSecond();
    int tank = TANKS.indexOf(series.tank());
    double oxygenMgPerL = new double[] {9.1, 8.6, 9.6, 9.9, 8.8}[tank];
    double flowLPerMin = new double[] {45.0, 40.0, 38.0, 20.3, 2.4}[tank];
    return second -> {
      double hours = (second - end) / 3600.0;
      double noise = 0.03 * Math.sin(second * 12.9898) + 0.02 * Math.sin(second * 7.233);
      double day = Math.sin(2.0 * Math.PI * hours / 24.0);
      double minutesStopped = series.tank().equals("h2") ? Math.max(0.0, 60.0 * hours + 1.6) : 0.0;
      return switch (series.quantity()) {
        case TEMPERATURE -> 12.6 + 1.1 * day + noise;
        case GAS_FLOW -> minutesStopped > 0.0 ? 0.0 : flowLPerMin * (1.0 + 0.2 * noise);
        default -> oxygenMgPerL - 0.45 * day + noise - 0.19 * minutesStopped;
      };
    };
  }
}
