// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.command;

import java.net.URI;
import java.nio.file.Path;
import java.time.Duration;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.function.Consumer;
import java.util.function.LongSupplier;
import java.util.function.Supplier;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import opercle.analysis.book.FarmBook;
import opercle.analysis.evening.Reach;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;
import opercle.analysis.monitor.Heartbeat.Cycle;
import opercle.analysis.publish.WatchService;
import opercle.analysis.watch.TankState;
import opercle.dashboard.monitor.BookLeg;
import opercle.dashboard.monitor.CertificateLeg;
import opercle.dashboard.monitor.ClockLeg;
import opercle.dashboard.monitor.DatabaseLeg;
import opercle.dashboard.monitor.DiskLeg;
import opercle.dashboard.monitor.HeartbeatLeg;
import opercle.dashboard.monitor.KeptLeg;
import opercle.dashboard.monitor.Leg;
import opercle.dashboard.monitor.ProgressLeg;
import opercle.dashboard.monitor.SelfWatch;
import opercle.dashboard.monitor.TroubleListener;
import opercle.dashboard.monitor.WatchLeg;
import opercle.ingest.mqtt.SensorSubscriber;
import opercle.ingest.store.SpooledReadings;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/** Puts together what the monitor stands on, to be looked at by a {@link SelfWatch}. */
final class SelfWatching {

  /** EX_TEMPFAIL of sysexits.h: start me again. */
  static final int STUCK = 75;

  private static final Logger log = LoggerFactory.getLogger(SelfWatching.class);

  /**
   * The watcher outside.
   *
   * @param url what to ask for
   * @param every how often
   */
  record Outside(URI url, Duration every) {}

  /**
   * What is told to, and asked of, the world outside.
   *
   * @param watcher who is told that all is well; empty: nobody
   * @param publicUrl where people reach the pages from outside, whose certificate is looked at
   */
  record Beyond(Optional<Outside> watcher, Optional<URI> publicUrl) {

    /** Nothing: a demonstration. */
    static final Beyond NOTHING = new Beyond(Optional.empty(), Optional.empty());
  }

  private final WatchService watch;
  private final Supplier<Reach> reach;
  private final List<Leg> legs = new ArrayList<>();

  /**
   * The way of a reading to the watch and of an alarm to people, and the local watchdog.
   *
   * @param heldUp news that reaches nobody
   * @param reach who would be called
   * @param caller counts the turns of whoever calls people; empty where nobody is called
   */
  SelfWatching(
      WatchService watch,
      SensorSubscriber subscriber,
      Outward outward,
      Supplier<List<String>> heldUp,
      Supplier<Reach> reach,
      Optional<LongSupplier> caller,
      Consumer<String> end) {
    this.watch = watch;
    this.reach = reach;
    legs.add(WatchLeg.of(subscriber, heldUp, reach));
    legs.add(KeptLeg.of(watch::damages));
    Map<String, Supplier<OptionalLong>> counts = new LinkedHashMap<>();
    counts.put("watch", () -> OptionalLong.of(watch.secondsPassed()));
    counts.put("subscriber", () -> OptionalLong.of(subscriber.turns()));
    caller.ifPresent(c -> counts.put("caller", () -> OptionalLong.of(c.getAsLong())));
    // Without a broker it has nobody to publish to, which is a trouble of its own.
    counts.put(
        "publisher",
        () ->
            outward.link().state().connected()
                ? OptionalLong.of(outward.announcer().attempts())
                : OptionalLong.empty());
    legs.add(new ProgressLeg(counts, end));
  }

  /** Looks at the disk of the data folder too. */
  SelfWatching disk(Path dataFolder) {
    legs.add(new DiskLeg(dataFolder));
    return this;
  }

  /** Looks at the way to a database that is not on this disk; empty where there is none. */
  SelfWatching database(Optional<Supplier<SpooledReadings.State>> state) {
    state.ifPresent(s -> legs.add(new DatabaseLeg(s)));
    return this;
  }

  /** Looks at the way to the farm book; empty where it is on this disk. */
  SelfWatching book(Optional<FarmBook> elsewhere) {
    elsewhere.ifPresent(book -> legs.add(new BookLeg(book)));
    return this;
  }

  /** Looks at these too. */
  SelfWatching also(List<Leg> others) {
    legs.addAll(others);
    return this;
  }

  /** Looks at the machine's clock. */
  SelfWatching clock(InstantSource wall) {
    legs.add(new ClockLeg(wall));
    return this;
  }

  /** Looks at a server's certificate. */
  SelfWatching certificate(String whose, URI server, InstantSource wall) {
    legs.add(new CertificateLeg(whose, server, wall));
    return this;
  }

  /** Tells a watcher outside that all is well. */
  SelfWatching outside(Optional<Outside> outside) {
    outside.ifPresent(o -> legs.add(new HeartbeatLeg(o.url(), o.every(), this::cycle)));
    return this;
  }

  SelfWatch start(InstantSource wall, List<TroubleListener> listeners) {
    return SelfWatch.start(wall, legs, listeners);
  }

  private Cycle cycle() {
    return new Cycle(
        watch.readings(),
        watch.secondsPassed(),
        silenceIsAlarmed(watch.farm(), watch.states()),
        reach.get().canCall());
  }

  /**
   * Whether people are called, or somebody has it, for every tank with fish in it whose oxygen is
   * not heard. A probe beside it that is quiet says nothing of that; nor does one put aside, nor
   * what is not urgent: at night that waits for the morning. A farm without fish needs no readings.
   */
  static boolean silenceIsAlarmed(Farm farm, List<TankState> states) {
    return farm.tanks().stream()
        .filter(Tank::isStocked)
        .allMatch(
            tank ->
                states.stream()
                    .filter(s -> s.tank().equals(tank.id()) && s.oxygenMgPerL().isEmpty())
                    .flatMap(s -> s.alarms().stream())
                    .anyMatch(SelfWatching::isToldOf));
  }

  private static boolean isToldOf(Alarm alarm) {
    return alarm.cause() == AlarmCause.PROBE_SILENT
        && (alarm.state() == AlarmState.ACKNOWLEDGED
            || (alarm.annunciated() && alarm.priority() == Priority.HIGH));
  }

  /**
   * Ends the process at once. Not the ordinary way: that would wait for the part that is stuck.
   * What stands is on the disk, and the broker tells the last will.
   */
  static void endAtOnce(String why) {
    log.error("{}; ending with code {}, to be started again", why, STUCK);
    Runtime.getRuntime().halt(STUCK);
  }
}
