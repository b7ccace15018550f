// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.trip;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.function.DoublePredicate;
import opercle.ingest.reading.Quantity;
import opercle.ingest.reading.Reading;

/**
 * The readings of one probe in a span, in order of time, each instant once.
 *
 * <p>For how long a reading speaks: until the next one, if that comes within the <i>hold</i>, three
 * usual intervals and at least 30 s. Where it comes later there is a gap: the reading speaks for
 * one usual interval, and the rest is unknown. So it is with the last one before the span's end,
 * and what lies before the first is unknown. All in whole nanoseconds, so that sums are exact.
 */
final class Samples {

  private static final Duration SHORTEST_HOLD = Duration.ofSeconds(30);

  /**
   * A stretch of which nothing is known.
   *
   * @param from when it begins
   * @param to when it ends
   */
  record Unknown(Instant from, Instant to) {

    Duration length() {
      return Duration.between(from, to);
    }
  }

  private final String probe;
  private final Instant from;
  private final Instant to;
  private final Instant[] times;
  private final double[] values;
  private final Duration usual;

  private Samples(String probe, Instant from, Instant to, SortedMap<Instant, Double> byTime) {
    this.probe = probe;
    this.from = from;
    this.to = to;
    this.times = byTime.keySet().toArray(Instant[]::new);
    this.values = byTime.values().stream().mapToDouble(Double::doubleValue).toArray();
    this.usual = usual(times);
  }

  /** The probes of one quantity that said anything, by name. */
  static List<Samples> of(TripTrace trace, Quantity quantity) {
    Map<String, TreeMap<Instant, Double>> byProbe = new TreeMap<>();
    for (Reading r : trace.readings()) {
      if (r.quantity() == quantity
          && !r.time().isBefore(trace.from())
          && !r.time().isAfter(trace.to())) {
        byProbe.computeIfAbsent(r.probe(), p -> new TreeMap<>()).put(r.time(), r.value());
      }
    }
    List<Samples> probes = new ArrayList<>();
    byProbe.forEach(
        (name, byTime) -> probes.add(new Samples(name, trace.from(), trace.to(), byTime)));
    return probes;
  }

  /** The same instants with other values. */
  Samples mapped(double[] newValues) {
    TreeMap<Instant, Double> byTime = new TreeMap<>();
    for (int i = 0; i < times.length; i++) {
      byTime.put(times[i], newValues[i]);
    }
    return new Samples(probe, from, to, byTime);
  }

  /** The same with other values, without the instants at which they are no numbers; if any are. */
  Optional<Samples> mappedWhereKnown(double[] newValues) {
    TreeMap<Instant, Double> byTime = new TreeMap<>();
    for (int i = 0; i < times.length; i++) {
      if (Double.isFinite(newValues[i])) {
        byTime.put(times[i], newValues[i]);
      }
    }
    return byTime.isEmpty() ? Optional.empty() : Optional.of(new Samples(probe, from, to, byTime));
  }

  private static Duration usual(Instant[] times) {
    if (times.length < 2) {
      return Duration.ofSeconds(1);
    }
    long[] between = new long[times.length - 1];
    for (int i = 0; i < between.length; i++) {
      between[i] = Duration.between(times[i], times[i + 1]).toNanos();
    }
    Arrays.sort(between);
    return Duration.ofNanos(between[(between.length - 1) / 2]);
  }

  String probe() {
    return probe;
  }

  int size() {
    return times.length;
  }

  Instant time(int i) {
    return times[i];
  }

  double value(int i) {
    return values[i];
  }

  /** The usual interval between readings. */
  Duration usual() {
    return usual;
  }

  /** Seconds from the start of the span. */
  double seconds(int i) {
    return Duration.between(from, times[i]).toNanos() / 1e9;
  }

  private Duration hold() {
    Duration three = usual.multipliedBy(3);
    return three.compareTo(SHORTEST_HOLD) > 0 ? three : SHORTEST_HOLD;
  }

  /** Until when a reading speaks. */
  Instant speaksUntil(int i) {
    Instant next = i + 1 < times.length ? times[i + 1] : to;
    boolean held =
        Duration.between(times[i], next).compareTo(i + 1 < times.length ? hold() : usual) <= 0;
    if (held) {
      return next;
    }
    Instant end = times[i].plus(usual);
    return end.isBefore(next) ? end : next;
  }

  /** How long values spoke that satisfy a condition. */
  Duration where(DoublePredicate condition) {
    Duration sum = Duration.ZERO;
    for (int i = 0; i < times.length; i++) {
      if (condition.test(values[i])) {
        sum = sum.plus(Duration.between(times[i], speaksUntil(i)));
      }
    }
    return sum;
  }

  /** The stretches of which nothing is known, in order. */
  List<Unknown> unknown() {
    List<Unknown> gaps = new ArrayList<>();
    Instant known = from;
    for (int i = 0; i < times.length; i++) {
      // A first reading that is a usual interval late is no gap.
      boolean late = times[i].isAfter(i == 0 ? known.plus(hold()) : known);
      if (late) {
        gaps.add(new Unknown(known, times[i]));
      }
      known = speaksUntil(i);
    }
    if (to.isAfter(known)) {
      gaps.add(new Unknown(known, to));
    }
    return gaps;
  }

  /** Values over time, as a meter of flow counts them: sum of value and minutes. */
  double sumOverMinutes() {
    double sum = 0.0;
    for (int i = 0; i < times.length; i++) {
      sum += values[i] * Duration.between(times[i], speaksUntil(i)).toNanos() / 60e9;
    }
    return sum;
  }

  /** The value nearest in time, within a reach. */
  OptionalDouble near(Instant time, Duration reach) {
    int at = Arrays.binarySearch(times, time);
    if (at >= 0) {
      return OptionalDouble.of(values[at]);
    }
    int after = -at - 1;
    int best = -1;
    Duration nearest = reach;
    for (int i = Math.max(0, after - 1); i <= Math.min(times.length - 1, after); i++) {
      Duration distance = Duration.between(times[i], time).abs();
      if (distance.compareTo(nearest) <= 0) {
        best = i;
        nearest = distance;
      }
    }
    return best < 0 ? OptionalDouble.empty() : OptionalDouble.of(values[best]);
  }

  /** The first reading at or after an instant; {@link #size} where there is none. */
  int firstAt(Instant time) {
    int at = Arrays.binarySearch(times, time);
    return at >= 0 ? at : -at - 1;
  }

  /** Seconds from the start of the span, of readings from one to another, that one not included. */
  double[] seconds(int first, int end) {
    double[] seconds = new double[end - first];
    for (int i = first; i < end; i++) {
      seconds[i - first] = seconds(i);
    }
    return seconds;
  }

  double[] values(int first, int end) {
    return Arrays.copyOfRange(values, first, end);
  }

  /** Whether each reading from one on speaks until the next, up to another, not included. */
  boolean isWithoutGap(int first, int end) {
    for (int i = first; i + 1 < end; i++) {
      if (speaksUntil(i).isBefore(times[i + 1])) {
        return false;
      }
    }
    return true;
  }

  /** Whether it spoke from one instant to another without a gap, and always said such a value. */
  boolean saysAllTheWhile(Instant start, Instant end, DoublePredicate condition) {
    int first = firstAt(start);
    int last = firstAt(end.plusNanos(1));
    boolean fromTheStart =
        first > 0
            ? first < times.length && speaksUntil(first - 1).equals(times[first])
            : !start.plus(hold()).isBefore(times[0]);
    return last > first
        && fromTheStart
        && isWithoutGap(first, last)
        && !speaksUntil(last - 1).isBefore(end)
        && Arrays.stream(values, first, last).allMatch(condition);
  }

  OptionalDouble mean(Instant start, Instant end) {
    int first = firstAt(start);
    int last = firstAt(end);
    return last > first ? Arrays.stream(values, first, last).average() : OptionalDouble.empty();
  }
}
