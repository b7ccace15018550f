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
      Priority.HIGH, 30, 60, "Look whether the broker runs and its network is up; watch the fish."),
  /** The readings store takes nothing; the watch is held up with it. */
  STORE_UNWRITABLE(
      Priority.HIGH, 10, 60, "Make room on the disk, or let Opercle write to its dataFolder."),
  /** The database that readings go to does not take them: they wait on this machine's disk. */
  DATABASE_AWAY(
      Priority.MEDIUM,
      30,
      60,
      "Look whether InfluxDB runs and its network is up; the watch goes on."),
  /** So many readings wait for the database that old ones are thinned. */
  READINGS_THINNED(
      Priority.MEDIUM,
      0,
      60,
      "Bring InfluxDB back, or give the spool more room; the watch goes on."),
  /** No room is left to speak of. */
  DISK_FULL(Priority.HIGH, 0, 60, "Make room on the disk now: the watch stops when it is full."),
  /** Room is left for some days. */
  DISK_NEARLY_FULL(Priority.MEDIUM, 60, 60, "Make room on the disk, or lower keepDays."),
  /** A part of the monitor makes no progress. */
  PART_STUCK(Priority.HIGH, 0, 10, "Opercle ends by itself; see that it is started again."),
  /** Readings wait before they are looked at. */
  ANALYSIS_LATE(
      Priority.HIGH, 20, 60, "See what else this machine does; figures and alarms come late."),
  /** Alarms do not get out, or would be forgotten by a restart. */
  NEWS_HELD_UP(Priority.MEDIUM, 30, 60, "See the log; watch the pages until it is mended."),
  /** The wall clock was put forward or back, or the machine slept. */
  CLOCK_STEPPED(
      Priority.MEDIUM, 0, 3600, "See that the machine keeps time by the network and never sleeps."),
  /** A certificate ends soon or has ended. */
  CERTIFICATE_ENDS(Priority.MEDIUM, 0, 60, "Renew the certificate."),
  /** A way to call somebody does not work. */
  CHANNEL_DEAD(Priority.HIGH, 60, 60, "Mend it and send a test; until then call by another way."),
  /** The watcher outside is not reached, or we have no right to tell it that all is well. */
  HEARTBEAT_HELD(
      Priority.MEDIUM, 0, 0, "The watcher outside will call; see what else stands here.");

  private final Priority priority;
  private final Duration onDelay;
  private final Duration offDelay;
  private final String action;

  TroubleKind(Priority priority, int onSeconds, int offSeconds, String action) {
    this.priority = priority;
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
