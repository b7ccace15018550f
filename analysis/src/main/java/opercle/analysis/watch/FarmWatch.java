// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEntry;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.OutOfService;
import opercle.analysis.alarm.RefusedActException;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.analysis.holding.TankWork;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.Series;
import org.jspecify.annotations.Nullable;

/**
 * The watch over all tanks of a farm: readings and passing time in, tank states and alarm events
 * out.
 *
 * <p>It runs in event time: {@link #accept} advances on the readings' own time, so that a recorded
 * night can be replayed in a second and gives the same alarms. Duplicates and late readings are
 * ignored and counted. Only silence needs {@link #tick}: live, call it about once a second with the
 * wall clock; in a replay, with the time of the trace.
 *
 * <p>Pure: no I/O, no clock, no thread. Not thread-safe: one thread at a time. Everything that it
 * returns is immutable and may be read from any thread.
 */
public final class FarmWatch {

  private static final Comparator<Alarm> MOST_URGENT_FIRST =
      Comparator.comparing(Alarm::priority).thenComparing(Alarm::since);

  private final Map<String, TankWatch> watches = new LinkedHashMap<>();
  private boolean listens;
  private long unknownTankReadings;

  /** A watch that has heard nothing yet. */
  public FarmWatch(Farm farm) {
    describe(farm);
  }

  /**
   * The farm is described anew. A tank that was there before keeps what was learned of it and its
   * standing alarms; one that is no longer described is watched no longer.
   */
  public void describe(Farm farm) {
    Map<String, TankWatch> kept = new LinkedHashMap<>();
    for (Tank tank : farm.tanks()) {
      @Nullable TankWatch watch = watches.get(tank.id());
      if (watch == null) {
        watch = new TankWatch(tank, farm.altitudeM());
        if (listens) {
          watch.startListening();
        }
      } else {
        watch.describe(tank, farm.altitudeM());
      }
      kept.put(tank.id(), watch);
    }
    watches.clear();
    watches.putAll(kept);
    shareSupplies(farm);
  }

  /**
   * The farm is described anew, as by {@link #describe(Farm)}, and what that ends is told: the
   * alarms of a tank that is no longer described are cleared, in words that say why.
   */
  public List<AlarmEvent> describe(Farm farm, Instant now) {
    List<AlarmEvent> ended = new ArrayList<>();
    watches.forEach(
        (id, watch) -> {
          if (farm.tank(id).isEmpty()) {
            ended.addAll(watch.end(now));
          }
        });
    describe(farm);
    return ended;
  }

  private void shareSupplies(Farm farm) {
    Map<String, SharedSupply> bySource = new LinkedHashMap<>();
    for (Tank tank : farm.tanks()) {
      Optional<String> source = tank.supply().sharedSource();
      watch(tank.id())
          .shares(
              source.isPresent()
                  ? bySource.computeIfAbsent(source.get(), SharedSupply::new)
                  : new SharedSupply(""));
    }
  }

  /**
   * Takes a reading. Readings of tanks that the farm does not have are counted and otherwise
   * ignored.
   *
   * @return what it made of the tank's alarms, in order; mostly nothing
   */
  public List<AlarmEvent> accept(Reading reading) {
    @Nullable TankWatch watch = watches.get(reading.tank());
    if (watch == null) {
      unknownTankReadings++;
      return List.of();
    }
    return watch.accept(reading);
  }

  /**
   * Somebody listens to the probes from the next tick on, who may have been away until then: so
   * every probe is given its time to speak before it counts as silent, and a stocked tank whose
   * oxygen nobody tells at all becomes an alarm. Without this, as in a replay, a tank that is never
   * heard is no alarm.
   */
  public void startListening() {
    listens = true;
    watches.values().forEach(TankWatch::startListening);
  }

  /**
   * The time of the newest reading taken of a series, as its probe gave it; empty if there was
   * none, or the farm has no such tank.
   */
  public Optional<Instant> newest(Series series) {
    return Optional.ofNullable(watches.get(series.tank())).flatMap(w -> w.newest(series));
  }

  /**
   * Time has passed: finds silent probes and ends off-delays.
   *
   * @param now by the receiver's clock. Where that clock steps, or nobody listened for a while (a
   *     gap between ticks of more than half a minute and more than four times the usual), the time
   *     in between counts as nobody's silence
   */
  public List<AlarmEvent> tick(Instant now) {
    List<AlarmEvent> events = new ArrayList<>();
    for (TankWatch watch : watches.values()) {
      events.addAll(watch.tick(now));
    }
    return events;
  }

  /**
   * A named person has it. Where no such alarm stands, or somebody has it already, nothing happens.
   *
   * @throws IllegalArgumentException if there is no such tank or the name is blank
   */
  public List<AlarmEvent> acknowledge(String tank, AlarmCause cause, String by, Instant now) {
    return listed(watch(tank).book().acknowledge(now, cause, by));
  }

  /**
   * A named person stops the sound of an alarm for two minutes; nothing else changes. Of an alarm
   * that makes no sound, nothing.
   *
   * @throws IllegalArgumentException if there is no such tank or the name is blank
   */
  public List<AlarmEvent> silence(String tank, AlarmCause cause, String by, Instant now) {
    return listed(watch(tank).book().silence(now, cause, by));
  }

  /**
   * A named person has looked, and a latched alarm is done with. Where none stands, nothing
   * happens.
   *
   * @throws RefusedActException if it is not latched
   * @throws IllegalArgumentException if there is no such tank or the name is blank
   */
  public List<AlarmEvent> reset(String tank, AlarmCause cause, String by, Instant now) {
    return listed(watch(tank).book().reset(now, cause, by));
  }

  /**
   * A named person puts a standing alarm aside; it comes back by itself. Where none stands, nothing
   * happens.
   *
   * @param length for how long
   * @throws RefusedActException if that is too long, or would leave the fish unwatched
   * @throws IllegalArgumentException if there is no such tank or the name is blank
   */
  public List<AlarmEvent> shelve(
      String tank, AlarmCause cause, String by, Duration length, Instant now) {
    TankWatch watch = watch(tank);
    watch.checkShelving(cause, length, now);
    return listed(watch.book().shelve(now, cause, by, length));
  }

  /**
   * A named person takes an alarm off the shelf before its time.
   *
   * @throws IllegalArgumentException if there is no such tank or the name is blank
   */
  public List<AlarmEvent> unshelve(String tank, AlarmCause cause, String by, Instant now) {
    return listed(watch(tank).book().unshelve(now, cause, by));
  }

  /**
   * Takes a tank, or one cause of it, out of service: it is watched as ever but calls nobody, until
   * the order's end. An earlier order for the same is replaced.
   *
   * @throws RefusedActException if the order lacks a reason, or an end that is near enough
   * @throws IllegalArgumentException if there is no such tank or the name is blank
   */
  public List<AlarmEvent> takeOutOfService(String tank, OutOfService order) {
    return watch(tank).takeOutOfService(order);
  }

  /**
   * A named person returns a tank, or one cause of it, to service before its time.
   *
   * @param cause which cause; empty for the order over all of the tank
   * @throws IllegalArgumentException if there is no such tank or the name is blank
   */
  public List<AlarmEvent> returnToService(
      String tank, Optional<AlarmCause> cause, String by, Instant now) {
    return watch(tank).book().returnToService(now, cause, by);
  }

  private static List<AlarmEvent> listed(Optional<AlarmEvent> event) {
    return event.map(List::of).orElse(List.of());
  }

  /**
   * Somebody has done something at a tank that its readings will show. Events of tanks that the
   * farm does not have are ignored.
   */
  public void note(TankEvent event) {
    @Nullable TankWatch watch = watches.get(event.tank());
    if (watch != null) {
      watch.note(event);
    }
  }

  /**
   * What is written down of a tank: meals, water changes, salt, hand tests; all of it, each time.
   * Until this is told, waste is not judged. A tank that the farm does not have is ignored.
   */
  public void know(String tank, TankWork work) {
    @Nullable TankWatch watch = watches.get(tank);
    if (watch != null) {
      watch.know(work);
    }
  }

  /**
   * What is believed of one tank.
   *
   * @throws IllegalArgumentException if there is no such tank
   */
  public TankState state(String tank, Instant now) {
    return watch(tank).state(now);
  }

  /** What is believed of every tank, in the order of the farm description. */
  public List<TankState> states(Instant now) {
    return watches.values().stream().map(w -> w.state(now)).toList();
  }

  /** All standing alarms, most urgent first. */
  public List<Alarm> standing() {
    return watches.values().stream()
        .flatMap(w -> w.standing().stream())
        .sorted(MOST_URGENT_FIRST)
        .toList();
  }

  /**
   * All that the watch has learned and all that stands, as a value: equal snapshots go on to say
   * the same of the same readings. What is in it is the watch's own affair; it is made of records,
   * and can be saved as such.
   */
  public record Snapshot(Map<String, TankWatch.Snapshot> tanks) {
    public Snapshot {
      tanks = Map.copyOf(tanks);
    }
  }

  /**
   * The alarms of every tank that has any, and what is out of service, as a value: little to save,
   * and understood by later versions too.
   */
  public record Alarms(
      Map<String, Map<AlarmCause, AlarmEntry>> books,
      Map<String, List<OutOfService>> outOfService) {
    public Alarms {
      books = Map.copyOf(books);
      outOfService = Map.copyOf(outOfService);
    }
  }

  /** The alarms as they are now. */
  public Alarms alarms() {
    Map<String, Map<AlarmCause, AlarmEntry>> books = new LinkedHashMap<>();
    watches.forEach(
        (id, watch) -> {
          Map<AlarmCause, AlarmEntry> book = watch.alarms();
          if (!book.isEmpty()) {
            books.put(id, book);
          }
        });
    Map<String, List<OutOfService>> orders = new LinkedHashMap<>();
    watches.forEach(
        (id, watch) -> {
          if (!watch.outOfService().isEmpty()) {
            orders.put(id, watch.outOfService());
          }
        });
    return new Alarms(books, orders);
  }

  /**
   * Makes all alarms what they were, whatever has been learned or forgotten since. An alarm ends
   * only when its tank is heard again and what is heard says so. Tanks that the farm no longer has
   * are left out.
   */
  public void restoreAlarms(Alarms alarms) {
    watches.forEach(
        (id, watch) ->
            watch.restoreAlarms(
                alarms.books().getOrDefault(id, Map.of()),
                alarms.outOfService().getOrDefault(id, List.of())));
  }

  /** What the watch is now; unchanged by what it hears later. */
  public Snapshot snapshot() {
    Map<String, TankWatch.Snapshot> tanks = new LinkedHashMap<>();
    watches.forEach((id, watch) -> tanks.put(id, watch.snapshot()));
    return new Snapshot(tanks);
  }

  /**
   * A watch that goes on from a snapshot. Tanks that the farm no longer has are left out, new ones
   * start without a past.
   */
  public static FarmWatch restore(Farm farm, Snapshot snapshot) {
    FarmWatch watch = new FarmWatch(farm);
    watch.watches.forEach(
        (id, tank) -> {
          TankWatch.@Nullable Snapshot saved = snapshot.tanks.get(id);
          if (saved != null) {
            tank.restore(saved);
          }
        });
    return watch;
  }

  /** Readings of tanks that the farm does not have. */
  public long unknownTankReadings() {
    return unknownTankReadings;
  }

  /** Readings that were not taken: duplicates, late ones, and those of too many probes. */
  public long ignoredReadings() {
    return watches.values().stream().mapToLong(TankWatch::ignoredReadings).sum();
  }

  private TankWatch watch(String tank) {
    @Nullable TankWatch watch = watches.get(tank);
    if (watch == null) {
      throw new IllegalArgumentException(
          "the farm has no tank \"%s\"; it has %s".formatted(tank, watches.keySet()));
    }
    return watch;
  }
}
