// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.monitor;

import java.time.InstantSource;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.Executors;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import opercle.analysis.monitor.MonitorTrouble;
import opercle.analysis.monitor.TroubleBook;
import opercle.analysis.monitor.TroubleEvent;
import opercle.analysis.monitor.TroubleKey;
import opercle.analysis.monitor.TroubleKind;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Looks once a second at everything that the monitor stands on, and tells what is wrong with it. It
 * takes no lock of the watch, so that it goes on where the watch is stuck.
 *
 * <p>One thread of its own, {@code self-watch}. {@link #standing} may be asked by any thread.
 */
public final class SelfWatch implements AutoCloseable {

  private static final Logger log = LoggerFactory.getLogger(SelfWatch.class);

  /** A clock that never steps, ns. */
  @FunctionalInterface
  public interface SteadyClock {
    long nanos();
  }

  private final InstantSource wall;
  private final SteadyClock steady;
  private final List<Leg> legs;
  private final List<TroubleListener> listeners;
  private final TroubleBook book = new TroubleBook();
  private final ScheduledExecutorService thread =
      Executors.newSingleThreadScheduledExecutor(
          task -> {
            Thread made = new Thread(task, "self-watch");
            made.setDaemon(true);
            return made;
          });

  /** What each leg found when it could last be looked at. */
  private final Map<Leg, Map<TroubleKey, String>> found = new HashMap<>();

  /** Legs that could not be looked at. */
  private final Set<Leg> faulty = new HashSet<>();

  private volatile List<MonitorTrouble> standing = List.of();

  /** Knows how to look, but does not yet; {@link #look} may be called by one thread. */
  SelfWatch(
      InstantSource wall, SteadyClock steady, List<Leg> legs, List<TroubleListener> listeners) {
    this.wall = wall;
    this.steady = steady;
    this.legs = List.copyOf(legs);
    this.listeners = List.copyOf(listeners);
  }

  /**
   * Starts looking.
   *
   * @param wall the clock that troubles are dated by
   * @param legs looked at in this order
   * @param listeners told in this order
   */
  public static SelfWatch start(
      InstantSource wall, List<Leg> legs, List<TroubleListener> listeners) {
    SelfWatch watch = new SelfWatch(wall, System::nanoTime, legs, listeners);
    var unused = watch.thread.scheduleAtFixedRate(watch::look, 1, 1, TimeUnit.SECONDS);
    return watch;
  }

  /** What is wrong with the monitor, most urgent first. */
  public List<MonitorTrouble> standing() {
    return standing;
  }

  /** One look. */
  void look() {
    try {
      long now = steady.nanos();
      Map<TroubleKey, String> present = new LinkedHashMap<>();
      for (Leg leg : legs) {
        look(leg, now, present);
      }
      List<TroubleEvent> events = book.look(wall.instant(), now, present);
      standing = book.standing();
      for (TroubleListener listener : listeners) {
        tell(listener, events);
      }
    } catch (RuntimeException e) {
      log.error("the self-watch stumbled over a second; it goes on", e);
    }
  }

  /**
   * A leg with a fault must not hide the others, nor look well: what it found last counts until it
   * can be looked at again, and that it cannot is a trouble.
   */
  private void look(Leg leg, long now, Map<TroubleKey, String> into) {
    try {
      found.put(leg, leg.look(now));
      if (faulty.remove(leg)) {
        log.info("the monitor can look again at {}", leg.what());
      }
    } catch (RuntimeException e) {
      if (faulty.add(leg)) { // once, not every second
        log.error("the monitor cannot look at {}", leg.what(), e);
      }
      into.put(
          TroubleKey.of(TroubleKind.NOT_LOOKED_AT, leg.what()),
          "The monitor cannot look at %s.".formatted(leg.what()));
    }
    into.putAll(found.getOrDefault(leg, Map.of()));
  }

  private void tell(TroubleListener listener, List<TroubleEvent> events) {
    try {
      listener.looked(events, standing);
    } catch (RuntimeException e) {
      log.error("{} stumbled over a trouble", listener.getClass().getSimpleName(), e);
    }
  }

  /** Looks no more. What stood is not told to be over: nobody looks any longer. */
  @Override
  public void close() {
    thread.shutdownNow();
  }
}
