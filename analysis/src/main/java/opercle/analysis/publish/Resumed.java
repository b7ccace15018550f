// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.publish;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import opercle.analysis.alarm.AlarmBook;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.farm.Farm;
import opercle.analysis.memory.Remembered;
import opercle.analysis.memory.WatchMemory;
import opercle.analysis.watch.FarmWatch;
import opercle.ingest.store.ReadingStore;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * A watch that has taken up again what an earlier one left on disk, and has been shown the readings
 * that were stored since.
 *
 * <p>The alarms were saved whenever something happened to them, what was learned at most a minute
 * before. So the readings in between are played first, in silence, for what they taught; then the
 * alarms are made what they were; then come the readings since, and what the watch says of them is
 * news. Without anything saved it learns from the last half hour, and only what stands then is
 * news.
 *
 * @param watch as it is now
 * @param toTell events that nobody, or not everybody, has been told yet, in order
 */
record Resumed(FarmWatch watch, List<AlarmEvent> toTell) {

  private static final Logger log = LoggerFactory.getLogger(WatchService.class);

  /** Enough to know what is normal for each line. */
  static final Duration LEARNED_AT_START = Duration.ofMinutes(30);

  /** After a longer absence, what was missed no longer tells how the tanks are. */
  static final Duration LONGEST_PLAYED = Duration.ofHours(24);

  /** A message may be stored this much later than its readings are dated, and is still played. */
  private static final Duration LATE = Duration.ofMinutes(10);

  /**
   * Takes up what is there.
   *
   * @param now the time
   * @param store the stored readings; empty where this process has none
   */
  static Resumed from(WatchMemory memory, Farm farm, Instant now, Optional<ReadingStore> store) {
    Optional<Remembered<FarmWatch.Snapshot>> learned = memory.learned();
    Optional<Remembered<WatchMemory.Alarms>> alarms = memory.alarms();
    FarmWatch watch =
        learned.map(l -> FarmWatch.restore(farm, l.what())).orElseGet(() -> new FarmWatch(farm));
    Optional<StoredPast> past = store.map(s -> new StoredPast(s, farm));
    List<AlarmEvent> toTell = new ArrayList<>();
    Instant earliest = now.minus(LONGEST_PLAYED);
    Instant alarmsAt = later(alarms.map(Remembered::at), learned.map(Remembered::at), now);
    Instant ticked = learned.map(Remembered::at).orElse(Instant.EPOCH);
    Instant from = learned.map(l -> l.at().minus(LATE)).orElse(alarmsAt.minus(LEARNED_AT_START));
    from = from.isBefore(earliest) ? earliest : from;
    long played = 0;
    if (past.isPresent()) {
      played += past.get().play(watch, from, alarmsAt, ticked, unused -> {});
    }
    if (alarms.isPresent() && learned.stream().noneMatch(l -> l.at().isAfter(alarms.get().at()))) {
      watch.restoreAlarms(alarms.get().what().standing());
    } else if (learned.isPresent()) {
      // As they were learned: what was played in silence since was none of them.
      watch.restoreAlarms(FarmWatch.restore(farm, learned.get().what()).alarms());
    }
    alarms.ifPresent(
        a ->
            a.what().untold().stream()
                .filter(
                    event ->
                        farm.tankIds().contains(event.tank())
                            || event.state() == AlarmState.NORMAL) // how it ended must be told
                .forEach(toTell::add));
    alarms.ifPresent(a -> toTell.addAll(endedWithTheirTanks(a.what().standing(), farm, now)));
    if (learned.isEmpty() && alarms.isEmpty()) {
      toTell.addAll(WatchService.standingIn(watch));
    } else {
      if (past.isPresent()) {
        Instant since = alarmsAt.isBefore(earliest) ? earliest : alarmsAt;
        played += past.get().play(watch, since, now.plus(LATE), alarmsAt, toTell::add);
      }
      log.info(
          "going on from what was saved {} ago: {}, {} standing alarms, {} readings stored since",
          inWords(Duration.between(alarmsAt, now)),
          learned.isPresent() ? "all that was learned" : "without what was learned",
          watch.standing().size(),
          played);
    }
    return new Resumed(watch, toTell);
  }

  /** What stood in tanks that were taken out while nobody watched, or as the watch was killed. */
  private static List<AlarmEvent> endedWithTheirTanks(
      FarmWatch.Alarms saved, Farm farm, Instant now) {
    List<AlarmEvent> events = new ArrayList<>();
    saved
        .books()
        .forEach(
            (tank, entries) -> {
              if (!farm.tankIds().contains(tank)) {
                AlarmBook book = new AlarmBook(tank);
                book.restore(entries, List.of());
                events.addAll(
                    book.endAll(
                        now,
                        "Tank %s: taken out of the farm. Nothing is watched there any more."
                            .formatted(tank)));
              }
            });
    return events;
  }

  private static Instant later(Optional<Instant> a, Optional<Instant> b, Instant otherwise) {
    if (a.isEmpty() || b.isEmpty()) {
      return a.or(() -> b).orElse(otherwise);
    }
    return a.get().isAfter(b.get()) ? a.get() : b.get();
  }

  private static String inWords(Duration time) {
    return time.toMinutes() < 2 ? time.toSeconds() + " s" : time.toMinutes() + " min";
  }
}
