// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.publish;

import java.time.Instant;
import java.time.InstantSource;
import java.util.List;
import java.util.OptionalDouble;
import java.util.concurrent.Executors;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.farm.Farm;
import opercle.analysis.watch.FarmWatch;
import opercle.analysis.watch.TankState;
import opercle.ingest.reading.Reading;
import opercle.ingest.reading.ReadingSink;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Keeps the watch over a farm going: readings in, time passing, news out to the listeners.
 *
 * <p>Threads: readings come on the subscriber's thread, acknowledgements on whoever asks, and one
 * thread of our own lets a second pass and tells the states. All hold one lock while they touch the
 * watch, so that the watch itself needs none. Snapshots are immutable.
 */
public final class WatchService implements ReadingSink, AutoCloseable {

  private static final Logger log = LoggerFactory.getLogger(WatchService.class);

  private final Object lock = new Object();
  private final FarmWatch watch;
  private final InstantSource clock;
  private final List<WatchListener> listeners;
  private final ScheduledExecutorService seconds;
  private volatile List<TankState> snapshot;

  /**
   * Starts the watch.
   *
   * @param farm whose tanks
   * @param clock what time it is; used only to let time pass, never to date a reading
   * @param past readings that the watch may learn from before it starts, in order of time; what it
   *     says of them is told to nobody but for the alarms that stand at the end
   * @param listeners told in this order
   */
  public WatchService(
      Farm farm, InstantSource clock, List<Reading> past, List<WatchListener> listeners) {
    this.watch = new FarmWatch(farm);
    learn(past);
    this.clock = clock;
    this.listeners = List.copyOf(listeners);
    this.snapshot = watch.states(clock.instant());
    tell(watch.standing().stream().map(WatchService::standingSince).toList());
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
      for (Reading reading : batch) {
        try {
          tell(watch.accept(reading));
        } catch (RuntimeException e) {
          // Thrown on, the batch would be offered again for ever, and every tank be blind.
          log.error("the watch stumbled over a reading of tank {}; it goes on", reading.tank(), e);
        }
      }
    }
  }

  /**
   * A named person says that they have an alarm. One that does not stand, or is acknowledged
   * already, is left as it is.
   *
   * @throws IllegalArgumentException if there is no such tank or the name is blank
   */
  public void acknowledge(String tank, AlarmCause cause, String by) {
    synchronized (lock) {
      tell(watch.acknowledge(tank, cause, by, clock.instant()));
      snapshot = watch.states(clock.instant());
    }
  }

  /** The state of every tank as of the last second. */
  public List<TankState> states() {
    return snapshot;
  }

  @Override
  public void close() {
    seconds.shutdownNow();
  }

  private void learn(List<Reading> past) {
    Instant ticked = Instant.MIN;
    for (Reading reading : past) {
      if (reading.time().isAfter(ticked.plusSeconds(1))) {
        ticked = reading.time();
        var unused = watch.tick(ticked);
      }
      var unused = watch.accept(reading);
    }
  }

  private static AlarmEvent standingSince(Alarm alarm) {
    return new AlarmEvent(
        alarm.since(),
        alarm.tank(),
        alarm.cause(),
        AlarmEvent.Kind.RAISED,
        alarm.priority(),
        alarm.state(),
        OptionalDouble.empty(),
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
        List<TankState> states = watch.states(now);
        snapshot = states;
        for (WatchListener listener : listeners) {
          listener.states(states);
        }
      }
    } catch (RuntimeException e) {
      // A scheduled task that throws is never run again, and a watch that has stopped must not look
      // alive.
      log.error("the watch stumbled over a second; it goes on", e);
    }
  }

  private void tell(List<AlarmEvent> events) {
    if (!events.isEmpty()) {
      for (WatchListener listener : listeners) {
        listener.events(events);
      }
    }
  }
}
