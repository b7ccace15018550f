// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.publish;

import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.Executors;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.Consumer;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.alarm.OutOfService;
import opercle.analysis.alarm.RefusedActException;
import opercle.analysis.farm.Farm;
import opercle.analysis.holding.TankWork;
import opercle.analysis.memory.WatchMemory;
import opercle.analysis.watch.FarmWatch;
import opercle.analysis.watch.TankEvent;
import opercle.analysis.watch.TankState;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.ReadingSink;
import opercle.ingest.store.ReadingStore;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Keeps the watch over a farm going: readings in, time passing, news out to the listeners.
 *
 * <p>With a {@link WatchMemory} it outlives its process, however that ends. What happens to an
 * alarm is on the disk before any listener is told, and stays there as not yet told until every
 * listener has handed it on ({@link WatchListener#pending}). So after a crash every alarm stands as
 * it stood, with who has it and since when; no event is lost; and one that was on its way is told
 * again, the same in every field, which is how a receiver knows it: by tank, cause, event and time.
 * An event that was handed on more than a second or two before is not told again. What was learned
 * is at most a minute old, and is completed from the stored readings, where there is a store. Where
 * the disk fails the alarms are told all the same, and this holds no longer until it is back
 * ({@link #troubles}).
 *
 * <p>Threads: readings come on the subscriber's thread, acknowledgements on whoever asks, and one
 * thread of our own lets a second pass and tells the states. All hold one lock while they touch the
 * watch, so that the watch itself needs none; the disk is waited for under it only when there is an
 * alarm event to tell. Snapshots are immutable.
 */
public final class WatchService implements ReadingSink, AutoCloseable {

  private static final Logger log = LoggerFactory.getLogger(WatchService.class);

  private static final long FINISH_TIMEOUT_SECONDS = 5;

  private final Object lock = new Object();
  private final FarmWatch watch;
  private final InstantSource clock;
  private final List<WatchListener> listeners;
  private final Optional<Remembering> remembering;
  private final ScheduledExecutorService seconds;
  private final AtomicLong secondsPassed = new AtomicLong();
  private final AtomicLong readings = new AtomicLong();
  private Map<String, List<OutOfService>> outOfService;
  private volatile Farm farm;
  private volatile List<TankState> snapshot;

  /**
   * Starts a watch without a memory on disk.
   *
   * @param farm whose tanks
   * @param clock what time it is; used only to let time pass, never to date a reading
   * @param past readings that the watch may learn from before it starts, in order of time; what it
   *     says of them is told to nobody but for the alarms that stand at the end
   * @param listeners told in this order
   */
  public WatchService(
      Farm farm, InstantSource clock, List<Reading> past, List<WatchListener> listeners) {
    this(farm, learned(farm, past), clock, Optional.empty(), listeners);
  }

  /**
   * Starts the watch where an earlier one ended, and shows it the readings stored since, of the
   * last day at most. Without anything saved it learns from the last half hour of the store.
   *
   * @param farm whose tanks; those that were not described before start without a past, and of
   *     those no longer described nothing stays
   * @param clock what time it is; used only to let time pass, never to date a reading
   * @param memory where the watch is saved
   * @param store the stored readings; empty where this process has none: then the time since the
   *     last save is known only from what the broker kept for us
   * @param listeners told in this order
   */
  public static WatchService resume(
      Farm farm,
      InstantSource clock,
      WatchMemory memory,
      Optional<ReadingStore> store,
      List<WatchListener> listeners) {
    return new WatchService(
        farm,
        Resumed.from(memory, farm, clock.instant(), store),
        clock,
        Optional.of(new Remembering(memory, clock.instant(), List.copyOf(listeners))),
        listeners);
  }

  private WatchService(
      Farm farm,
      Resumed resumed,
      InstantSource clock,
      Optional<Remembering> remembering,
      List<WatchListener> listeners) {
    this.farm = farm;
    this.watch = resumed.watch();
    this.clock = clock;
    this.listeners = List.copyOf(listeners);
    this.remembering = remembering;
    watch.startListening();
    this.outOfService = watch.alarms().outOfService();
    this.snapshot = watch.states(clock.instant());
    tell(resumed.toTell());
    this.seconds =
        Executors.newSingleThreadScheduledExecutor(
            task -> {
              Thread thread = new Thread(task, "watch-seconds");
              thread.setDaemon(true);
              return thread;
            });
    var unused = seconds.scheduleAtFixedRate(this::second, 1, 1, TimeUnit.SECONDS);
  }

  @Override
  public void accept(List<Reading> batch) {
    synchronized (lock) {
      List<AlarmEvent> events = new ArrayList<>();
      for (Reading reading : batch) {
        try {
          List<AlarmEvent> of = watch.accept(reading);
          if (!of.isEmpty()) { // as good as never
            events.addAll(of);
          }
        } catch (RuntimeException | StackOverflowError e) {
          // Thrown on, the batch would be offered again for ever, and every tank be blind.
          log.error("the watch stumbled over a reading of tank {}; it goes on", reading.tank(), e);
        }
      }
      readings.addAndGet(batch.size());
      tell(events); // together, for they are saved before: one wait for the disk, not hundreds
    }
  }

  /**
   * A named person says that they have an alarm. One that does not stand, or is acknowledged
   * already, is left as it is.
   *
   * @throws IllegalArgumentException if there is no such tank or the name is blank
   */
  public void acknowledge(String tank, AlarmCause cause, String by) {
    perform(TankAct.OnAlarm.of(tank, cause, TankAct.OnAlarm.What.ACKNOWLEDGE, by));
  }

  /**
   * A named person does something about a tank. What is about an alarm that does not stand, or
   * leaves it as it is, does nothing.
   *
   * @throws RefusedActException if it must not be done, with the reason in words
   * @throws IllegalArgumentException if there is no such tank or the name is blank
   */
  public void perform(TankAct act) {
    synchronized (lock) {
      Instant now = clock.instant();
      if (act instanceof TankAct.Note note) {
        note(new TankEvent(note.tank(), note.kind(), now, Optional.of(note.by())));
      } else {
        tell(change(act, now));
      }
      tellService(now);
      snapshot = watch.states(now);
    }
  }

  /**
   * The farm is described anew, while readings come. What was learned stays where it is still true;
   * the alarms of a tank that is gone are cleared; fish put in or taken out, and gas set anew,
   * count as done at the tank just now. On the disk when this returns.
   *
   * @param next the whole farm
   * @param by who says so
   */
  public void describe(Farm next, String by) {
    synchronized (lock) {
      Instant now = clock.instant();
      List<TankEvent> done = FarmStep.done(farm, next, now, by);
      Set<String> gone = new TreeSet<>(farm.tankIds());
      gone.removeAll(next.tankIds());
      List<AlarmEvent> ended = watch.describe(next, now);
      farm = next;
      done.forEach(watch::note);
      remembering.ifPresent(r -> r.beforeAnswering(now, watch));
      tell(ended);
      tellService(now);
      done.forEach(event -> toEach(listener -> listener.noted(event)));
      snapshot = watch.states(now);
      toEach(listener -> listener.described(next, gone));
    }
  }

  /**
   * What is written down of tanks: meals, water changes, salt, hand tests; all of it, each time.
   *
   * @param work by the tank's id
   */
  public void know(Map<String, TankWork> work) {
    synchronized (lock) {
      work.forEach(watch::know);
    }
  }

  /** The farm that is watched. */
  public Farm farm() {
    return farm;
  }

  private List<AlarmEvent> change(TankAct act, Instant now) {
    if (act instanceof TankAct.OnAlarm a) {
      return switch (a.what()) {
        case ACKNOWLEDGE -> watch.acknowledge(a.tank(), a.cause(), a.by(), now);
        case SILENCE -> watch.silence(a.tank(), a.cause(), a.by(), now);
        case RESET -> watch.reset(a.tank(), a.cause(), a.by(), now);
        case SHELVE ->
            watch.shelve(a.tank(), a.cause(), a.by(), a.length().orElse(Duration.ZERO), now);
        case UNSHELVE -> watch.unshelve(a.tank(), a.cause(), a.by(), now);
      };
    }
    if (act instanceof TankAct.TakeOutOfService out) {
      return watch.takeOutOfService(
          out.tank(),
          new OutOfService(out.cause(), out.reason(), out.by(), now, now.plus(out.length())));
    }
    TankAct.ReturnToService back = (TankAct.ReturnToService) act;
    return watch.returnToService(back.tank(), back.cause(), back.by(), now);
  }

  private void note(TankEvent event) {
    var known =
        watch.state(event.tank(), event.time()); // an unknown tank is a mistake of the caller
    watch.note(event);
    log.info("{}: {}, by {}", known.tank(), event.kind().id(), event.by().orElse("nobody named"));
    toEach(listener -> listener.noted(event));
  }

  /** Tells, and saves, what was taken out of service or has returned. */
  private void tellService(Instant now) {
    Map<String, List<OutOfService>> orders = watch.alarms().outOfService();
    if (orders.equals(outOfService)) {
      return;
    }
    Set<String> tanks = new TreeSet<>(orders.keySet());
    tanks.addAll(outOfService.keySet());
    tanks.removeIf(tank -> Objects.equals(orders.get(tank), outOfService.get(tank)));
    outOfService = orders;
    remembering.ifPresent(r -> r.beforeTelling(now, watch, List.of()));
    for (String tank : tanks) {
      List<OutOfService> here = orders.getOrDefault(tank, List.of());
      log.info("{}: out of service now: {}", tank, here.isEmpty() ? "nothing" : here);
      toEach(listener -> listener.outOfService(tank, now, here));
    }
  }

  /** The state of every tank as of the last second. */
  public List<TankState> states() {
    return snapshot;
  }

  /** How many seconds it has let pass without stumbling; stands still where the watch does. */
  public long secondsPassed() {
    return secondsPassed.get();
  }

  /** How many readings it was given. */
  public long readings() {
    return readings.get();
  }

  /**
   * What does not work beside the watch itself, in words: its memory on disk, a listener; empty if
   * all is well.
   */
  public List<String> troubles() {
    List<String> troubles = new ArrayList<>();
    remembering.flatMap(Remembering::trouble).ifPresent(troubles::add);
    listeners.forEach(listener -> listener.trouble().ifPresent(troubles::add));
    return troubles;
  }

  /** What of its memory on disk could not be read at the start. */
  public List<WatchMemory.Damage> damages() {
    return remembering.map(Remembering::damages).orElse(List.of());
  }

  /** Ends the watch, which saves itself once more. */
  @Override
  public void close() {
    seconds.shutdown();
    try {
      if (!seconds.awaitTermination(FINISH_TIMEOUT_SECONDS, TimeUnit.SECONDS)) {
        log.warn("the last second of the watch does not end; ending without it");
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
    synchronized (lock) {
      remembering.ifPresent(r -> r.finish(clock.instant(), watch));
    }
  }

  private static Resumed learned(Farm farm, List<Reading> past) {
    FarmWatch watch = new FarmWatch(farm);
    Instant ticked = Instant.MIN;
    for (Reading reading : past) {
      if (reading.time().isAfter(ticked.plusSeconds(1))) {
        ticked = reading.time();
        var unused = watch.tick(ticked);
      }
      var unused = watch.accept(reading);
    }
    return new Resumed(watch, standingIn(watch));
  }

  /** What stands, as the events that raised it. */
  static List<AlarmEvent> standingIn(FarmWatch watch) {
    return watch.standing().stream().map(WatchService::standingSince).toList();
  }

  /** The event that raised a standing alarm, with its words and state as they are now. */
  public static AlarmEvent standingSince(Alarm alarm) {
    return new AlarmEvent(
        alarm.since(),
        alarm.tank(),
        alarm.cause(),
        AlarmEvent.Kind.RAISED,
        alarm.priority(),
        alarm.state(),
        alarm.timeInHandMinutes(),
        OptionalDouble.empty(),
        alarm.message(),
        alarm.since(),
        alarm.annunciated(),
        alarm.by(),
        alarm.until(),
        alarm.root(),
        alarm.tanks());
  }

  private void second() {
    try {
      synchronized (lock) {
        Instant now = clock.instant();
        tell(watch.tick(now));
        tellService(now);
        List<TankState> states = watch.states(now);
        snapshot = states;
        toEach(listener -> listener.states(states));
        remembering.ifPresent(r -> r.second(now, watch));
      }
      secondsPassed.incrementAndGet();
    } catch (RuntimeException | StackOverflowError e) {
      // A scheduled task that throws is never run again, and a watch that has stopped must not look
      // alive.
      log.error("the watch stumbled over a second; it goes on", e);
    }
  }

  private void tell(List<AlarmEvent> events) {
    if (!events.isEmpty()) {
      remembering.ifPresent(r -> r.beforeTelling(clock.instant(), watch, events));
      toEach(listener -> listener.events(events));
    }
  }

  /** A listener with a fault must not keep the news from the others. */
  private void toEach(Consumer<WatchListener> news) {
    for (WatchListener listener : listeners) {
      try {
        news.accept(listener);
      } catch (RuntimeException e) {
        log.error("{} stumbled over news of the watch", listener.getClass().getSimpleName(), e);
      }
    }
  }
}
