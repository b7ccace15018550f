// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.publish;

import java.time.Duration;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.function.Consumer;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.farm.Farm;
import opercle.analysis.watch.FarmWatch;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import opercle.ingest.store.ReadingStore;

/**
 * Plays stored readings to a watch in order of time, as if they came now: of each series those that
 * the watch has not taken yet. A piece of the time at once, so that memory stays small.
 */
final class StoredPast {

  private static final Duration PIECE = Duration.ofMinutes(10);

  private final ReadingStore store;
  private final List<Series> series;

  StoredPast(ReadingStore store, Farm farm) {
    this.store = store;
    this.series = store.series().stream().filter(s -> farm.tankIds().contains(s.tank())).toList();
  }

  /**
   * Plays a span of time.
   *
   * @param from included
   * @param to not included
   * @param ticked up to when time has passed for the watch already
   * @param said gets what the watch makes of it
   * @return how many readings there were
   */
  long play(FarmWatch watch, Instant from, Instant to, Instant ticked, Consumer<AlarmEvent> said) {
    long played = 0;
    Instant second = ticked;
    for (Instant start = from; start.isBefore(to); start = start.plus(PIECE)) {
      Instant end = start.plus(PIECE);
      for (Reading reading : piece(watch, start, end.isBefore(to) ? end : to)) {
        if (Duration.between(second, reading.time()).toMillis() >= 1_000) {
          second = reading.time();
          watch.tick(second).forEach(said);
        }
        watch.accept(reading).forEach(said);
        played++;
      }
    }
    return played;
  }

  private List<Reading> piece(FarmWatch watch, Instant from, Instant to) {
    List<Reading> readings = new ArrayList<>();
    for (Series s : series) {
      // The store keeps whole milliseconds: the one that was taken last may seem a little older.
      Instant fresh =
          watch
              .newest(s)
              .map(newest -> newest.truncatedTo(ChronoUnit.MILLIS).plusMillis(1))
              .filter(after -> after.isAfter(from))
              .orElse(from);
      if (fresh.isBefore(to)) {
        readings.addAll(store.range(s, fresh, to));
      }
    }
    readings.sort(Comparator.comparing(Reading::time));
    return readings;
  }
}
