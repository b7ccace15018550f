// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.function.Supplier;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.book.RecordBook;
import opercle.analysis.book.TripRecords;
import opercle.analysis.holding.TankWork;
import opercle.analysis.records.Recorded;
import opercle.analysis.records.Standing;
import opercle.analysis.records.TankEntry;
import opercle.analysis.trip.TripEntry.StopCheck;
import opercle.analysis.trip.TripLog;
import opercle.analysis.trip.TripTrace;
import opercle.analysis.watch.TankEvent;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;

/**
 * What was measured, alarmed and noted on the trips of a farm, put together from the farm book and
 * the readings store. Reads the disk; for any thread.
 */
final class TripTraces {

  private final LiveFarm live;
  private final Traces traces;
  private final PastAlarms past;
  private final Supplier<Optional<RecordBook>> work;

  /**
   * @param work what was written down at the tanks
   */
  TripTraces(LiveFarm live, Traces traces, PastAlarms past, Supplier<Optional<RecordBook>> work) {
    this.live = live;
    this.traces = traces;
    this.past = past;
    this.work = work;
  }

  /** What was measured, alarmed and noted on a trip, as far as it has come. */
  TripTrace of(TripRecords records, TripLog log) {
    Instant from = log.from();
    Instant now = live.now().isAfter(from) ? live.now() : from.plusSeconds(1);
    Instant last = from.plus(TripLog.LONGEST);
    Instant to = log.to(now.isBefore(last) ? now : last);
    String tank = log.trip().tank().id();
    Map<Series, Map<Instant, Reading>> all = new LinkedHashMap<>();
    List<Reading> laidDown = records.readings(log);
    laidDown.forEach(r -> add(all, r));
    List<Series> measuredHere = log.trip().tank().isOfOtherFarm() ? List.of() : traces.series(tank);
    for (Series series : measuredHere) {
      traces.readings(series, from, to.plusMillis(1)).forEach(r -> add(all, r));
    }
    List<Reading> readings =
        all.values().stream().flatMap(byTime -> byTime.values().stream()).toList();
    return new TripTrace(
        from,
        to,
        readings,
        alarms(records, log, tank, from, to),
        events(tank, from, to),
        checks(log, from, to));
  }

  /** Checks that were written down at the tank, as if it had been at a stop. */
  private List<StopCheck> checks(TripLog log, Instant from, Instant to) {
    return handChecks(log.trip().tank().id(), from, to).stream()
        .filter(s -> log.entries().stream().noneMatch(e -> e.id().equals(s.id()))) // came in a file
        .map(
            s ->
                check(
                    s.id(),
                    s.versions().get(s.versions().size() - 1).by(),
                    s.entry(),
                    Optional.empty()))
        .sorted(Comparator.comparing(StopCheck::time))
        .toList();
  }

  private List<Standing<TankEntry.HandCheck>> handChecks(String tank, Instant from, Instant to) {
    return work.get().map(book -> book.records().standing(TankEntry.HandCheck.class)).stream()
        .flatMap(List::stream)
        .filter(s -> s.entry().where().tank().equals(tank))
        .filter(s -> !s.entry().where().time().isBefore(from))
        .filter(s -> !s.entry().where().time().isAfter(to))
        .toList();
  }

  private static StopCheck check(
      String id, String by, TankEntry.HandCheck entry, Optional<String> corrects) {
    return new StopCheck(
        id,
        entry.where().time(),
        by,
        corrects,
        entry.fish(),
        entry.oxygenMgPerL(),
        entry.temperatureC(),
        OptionalDouble.empty(),
        entry.note().orElse(""));
  }

  /** The store keeps milliseconds, the book microseconds: the same reading must not count twice. */
  private static void add(Map<Series, Map<Instant, Reading>> all, Reading reading) {
    all.computeIfAbsent(reading.series(), s -> new LinkedHashMap<>())
        .putIfAbsent(Instant.ofEpochMilli(reading.time().toEpochMilli()), reading);
  }

  private List<AlarmEvent> alarms(
      TripRecords records, TripLog log, String tank, Instant from, Instant to) {
    Set<AlarmEvent> alarms = new LinkedHashSet<>(records.alarms(log));
    past.records()
        .get()
        .ifPresent(
            alarmed ->
                alarmed.touching(from, to.plusMillis(1)).stream()
                    .filter(a -> a.tank().equals(tank))
                    .forEach(alarms::add));
    return alarms.stream().sorted(Comparator.comparing(AlarmEvent::time)).toList();
  }

  private List<TankEvent> events(String tank, Instant from, Instant to) {
    List<TankEvent> events =
        new ArrayList<>(past.events().get().map(e -> e.between(tank, from, to)).orElse(List.of()));
    work.get().map(book -> book.records().standing(TankEntry.class)).stream()
        .flatMap(List::stream)
        .flatMap(s -> event(s, tank).stream())
        .filter(e -> !e.time().isBefore(from) && !e.time().isAfter(to))
        .filter(e -> events.stream().noneMatch(there -> isSame(there, e)))
        .forEach(events::add);
    events.sort(Comparator.comparing(TankEvent::time));
    return events;
  }

  /** What was written down afterwards, of which the watch was not told. */
  private static Optional<TankEvent> event(Standing<TankEntry> standing, String tank) {
    TankEntry entry = standing.entry();
    Optional<TankEvent.Kind> kind =
        entry instanceof TankEntry.Moved moved && moved.to().equals(tank)
            ? Optional.of(TankEvent.Kind.FISH_ADDED)
            : !entry.where().tank().equals(tank)
                ? Optional.empty()
                : switch (entry.kind()) {
                  case MOVED -> Optional.of(TankEvent.Kind.FISH_REMOVED);
                  case WATER_CHANGE, TOP_UP -> Optional.of(TankEvent.Kind.WATER_CHANGED);
                  default -> Optional.empty();
                };
    String by = standing.versions().get(standing.versions().size() - 1).by();
    return kind.map(k -> new TankEvent(tank, k, entry.where().time(), Optional.of(by)));
  }

  /** A button at the tank and the form beside it tell of one deed. */
  private static boolean isSame(TankEvent a, TankEvent b) {
    return a.kind() == b.kind()
        && Duration.between(a.time(), b.time()).abs().compareTo(TankWork.SAME_MEAL) <= 0;
  }

  /**
   * A trip with the checks that were written down at its tank as its own; each with what it was
   * corrected from, so that a file that is taken in later still fits.
   */
  TripLog withTankChecks(TripLog log, TripTrace trace) {
    TripLog whole = log;
    if (log.withdrawn().isPresent()) {
      return whole;
    }
    for (Standing<TankEntry.HandCheck> standing :
        handChecks(log.trip().tank().id(), trace.from(), trace.to())) {
      Optional<String> before = Optional.empty();
      for (Recorded version : standing.versions()) {
        if (version.entry() instanceof TankEntry.HandCheck check
            && !check.where().time().isBefore(log.from())) {
          whole = whole.with(check(version.id(), version.by(), check, before));
          before = Optional.of(version.id());
        }
      }
    }
    return whole;
  }

  /** The readings of a trip in order of time, for a file. */
  List<Reading> readings(TripRecords records, TripLog log) {
    List<Reading> readings = new ArrayList<>(of(records, log).readings());
    readings.sort(
        Comparator.comparing(Reading::time)
            .thenComparing(Reading::quantity)
            .thenComparing(Reading::probe));
    return readings;
  }
}
