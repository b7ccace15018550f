// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.monitor;

import java.time.Duration;
import java.util.Locale;
import opercle.analysis.alarm.Priority;

/**
 * What can be wrong with the monitor itself. No alarm of a tank: it concerns all of them, and the
 * tanks may be well. Delays are <i>common practice</i>.
 */
public enum TroubleKind {
  /** No connection to the MQTT broker: nothing is heard, and no siren hears us. */
  BROKER_LOST(
      Priority.HIGH,
      Calls.AT_ONCE,
      30,
      60,
      "Look at the fish; see that the hub that probes send to runs, and that its network is up."),
  /** The readings store takes nothing; the watch is held up with it. */
  STORE_UNWRITABLE(
      Priority.HIGH,
      Calls.AT_ONCE,
      10,
      60,
      "Look at the fish; make room on the disk, or let Opercle write to its data folder."),
  /** The database that readings go to does not take them: they wait on this machine's disk. */
  DATABASE_AWAY(
      Priority.MEDIUM,
      Calls.BY_DAY,
      30,
      60,
      "Look whether the database of readings runs and its network is up; the watch goes on."),
  /** So many readings wait for the database that old ones are thinned. */
  READINGS_THINNED(
      Priority.MEDIUM,
      Calls.BY_DAY,
      0,
      60,
      "Bring the database of readings back, or make more room for what waits; the watch goes on."),
  /** A service that takes readings in on its own is gone, or says that something is wrong. */
  INTAKE_TROUBLE(
      Priority.MEDIUM,
      Calls.BY_DAY,
      30,
      10,
      "See that the part of Opercle that takes readings in runs, and what its log says; the watch goes on."),
  /** A tank that a site is to watch has topics that the site does not listen to. */
  TANK_OUT_OF_SITE(
      Priority.HIGH,
      Calls.BY_DAY,
      0,
      0,
      "Add the name to those of the site in opercle.yaml, and start Opercle again."),
  /** The database that the farm book is in does not answer. */
  BOOK_AWAY(
      Priority.MEDIUM,
      Calls.BY_DAY,
      30,
      60,
      "Look whether the database of the farm book runs and its network is up; do not start Opercle again before."),
  /** What was kept on this machine's disk for the next start could not be read. */
  MEMORY_DAMAGED(
      Priority.MEDIUM,
      Calls.BY_DAY,
      0,
      3600,
      "Look at every tank and its alarms; have the disk of this machine looked at, as it may be failing."),
  /** No room is left to speak of. */
  DISK_FULL(
      Priority.HIGH,
      Calls.AT_ONCE,
      0,
      60,
      "Make room on the disk now: the watch stops when it is full."),
  /** Room is left for some days. */
  DISK_NEARLY_FULL(
      Priority.MEDIUM,
      Calls.BY_DAY,
      60,
      60,
      "Make room on the disk, or keep readings for fewer days."),
  /** A part of the monitor makes no progress. */
  PART_STUCK(
      Priority.HIGH,
      Calls.AT_ONCE,
      0,
      10,
      "Opercle ends by itself; see that it is started again, and look at the fish until it is."),
  /** Readings wait before they are looked at. */
  ANALYSIS_LATE(
      Priority.HIGH, Calls.AT_ONCE, 20, 60, "Look at the fish; see what else this machine does."),
  /** Alarms do not get out, or would be forgotten by a restart. */
  NEWS_HELD_UP(
      Priority.MEDIUM, Calls.BY_DAY, 30, 60, "See the log; watch the pages until it is mended."),
  /** The wall clock was put forward or back, or the machine slept. */
  CLOCK_STEPPED(
      Priority.MEDIUM,
      Calls.IN_THE_MORNING,
      0,
      3600,
      "See that the machine keeps time by the network and never sleeps."),
  /** A certificate ends soon or has ended. */
  CERTIFICATE_ENDS(Priority.MEDIUM, Calls.IN_THE_MORNING, 0, 60, "Renew the certificate."),
  /** A way to call somebody does not work. */
  CHANNEL_DEAD(
      Priority.HIGH,
      Calls.BY_DAY,
      60,
      60,
      "Mend it and send a test; until then call by another way."),
  /** The watcher outside is not reached, or we have no right to tell it that all is well. */
  HEARTBEAT_HELD(
      Priority.MEDIUM,
      Calls.BY_DAY,
      0,
      0,
      "The watcher outside will call; see what else stands here."),
  /** A part of the monitor's look at itself fails. */
  NOT_LOOKED_AT(
      Priority.HIGH, Calls.BY_DAY, 20, 60, "See the log, and start Opercle again by day.");

  /** When people are called for it. By consequence: what makes the watch blind or mute wakes. */
  public enum Calls {
    /** At any hour, in steps, while there are fish to watch; without fish as {@link #BY_DAY}. */
    AT_ONCE,
    /** Told once by day; at night it waits for the morning's summary. */
    BY_DAY,
    /** It waits for the next morning's summary. */
    IN_THE_MORNING
  }

  private final Priority priority;
  private final Calls calls;
  private final Duration onDelay;
  private final Duration offDelay;
  private final String action;

  TroubleKind(Priority priority, Calls calls, int onSeconds, int offSeconds, String action) {
    this.priority = priority;
    this.calls = calls;
    this.onDelay = Duration.ofSeconds(onSeconds);
    this.offDelay = Duration.ofSeconds(offSeconds);
    this.action = action;
  }

  /** The word in topics and JSON, for instance {@code broker-lost}. */
  public String id() {
    return name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  /** How urgent it is. */
  public Priority priority() {
    return priority;
  }

  /** When people are called for it. */
  public Calls calls() {
    return calls;
  }

  /** The kind with which it shares a cause, and one call: a full disk takes no readings either. */
  public TroubleKind origin() {
    return this == STORE_UNWRITABLE ? DISK_FULL : this;
  }

  /** For how long the condition must hold before it is told. */
  public Duration onDelay() {
    return onDelay;
  }

  /** For how long the condition must be gone before the trouble is over. */
  public Duration offDelay() {
    return offDelay;
  }

  /** The one thing to do, a sentence. */
  public String action() {
    return action;
  }
}
