// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.Finding;
import opercle.analysis.alarm.FirstAction;
import opercle.analysis.alarm.Priority;

/**
 * What there is to say about a tank's probes themselves: which are silent, which are not to be
 * trusted, and how urgent that makes it for the fish behind them.
 */
final class ProbeFindings {

  private final TankNow tank;
  private final Listening listening;
  private final long heard;

  /**
   * For one instant.
   *
   * @param tank at that instant, by the probes' clock
   * @param heard the same by the receiver's, by which silence is judged
   */
  ProbeFindings(TankNow tank, Listening listening, long heard) {
    this.tank = tank;
    this.listening = listening;
    this.heard = heard;
  }

  /** A tank that is stocked and tells nothing is not watched, though its page may look quiet. */
  private Finding neverHeard() {
    boolean nothing = tank.newestReading().isEmpty();
    TimeInHand time = tank.ifGasStops();
    return finding(
        AlarmCause.PROBE_SILENT,
        nothing
            ? Urgency.ofLinkDown(tank.tank, listening.seconds(heard), against(time))
            : Priority.MEDIUM,
        nothing ? "never heard" : "oxygen never heard",
        time,
        (nothing ? "no reading since the start, " : "no oxygen reading since the start, ")
            + Wording.lasting(listening.seconds(heard))
            + " ago; nothing watches the oxygen of this tank",
        "",
        FirstAction.LOOK_THEN_CHECK_TOPIC);
  }

  /** Probes are silent, or no oxygen was ever told. */
  Finding silent() {
    if (listening.isUnheard()) {
      return neverHeard();
    }
    StringBuilder names = new StringBuilder();
    double longest = 0.0;
    boolean oxygenLost = false;
    boolean oxygenHeard = false;
    boolean supplyLost = false;
    boolean mayComeBack = true;
    double anyHeardSeconds = Double.POSITIVE_INFINITY;
    for (Probe p : tank.probes().all()) {
      anyHeardSeconds = Math.min(anyHeardSeconds, p.rhythm.quietSeconds(heard));
      oxygenHeard |= p.measuresOxygen() && !p.silent;
      if (p.silent) {
        mayComeBack &= !p.measuresOxygen() || listening.mayComeBack(p, heard);
        names.append(names.isEmpty() ? "" : ", ").append(p.title());
        longest = Math.max(longest, p.rhythm.quietSeconds(heard));
        oxygenLost |= p.measuresOxygen();
        supplyLost |= p instanceof MeterProbe;
      }
    }
    boolean unwatched = oxygenLost && !oxygenHeard;
    TimeInHand time = tank.ifGasStops();
    // All at once: the link is down, and nothing is known of the probes. Slow ones fell silent
    // later, and do not all speak at once when it is back.
    boolean linkDown = anyHeardSeconds >= longest / 2.0 || mayComeBack;
    Priority priority = Priority.LOW;
    if (oxygenLost || supplyLost) {
      priority = Priority.MEDIUM; // a second pair of eyes
    }
    if (unwatched) {
      // While nobody listened it may well have spoken: a restart must not be what wakes people.
      double missed = Math.min(longest, listening.seconds(heard));
      priority = linkDown ? Urgency.ofLinkDown(tank.tank, missed, against(time)) : Priority.HIGH;
    }
    String fact = names + " silent for " + Wording.lasting(longest);
    return finding(
        AlarmCause.PROBE_SILENT,
        priority,
        names.toString(),
        time,
        unwatched ? fact + "; nothing watches the oxygen of this tank now" : fact,
        Wording.ifGasStops(time),
        unwatched ? FirstAction.LOOK_THEN_CHECK_LINK : FirstAction.CHECK_LINK);
  }

  /** Probes are not to be trusted. */
  Finding suspect() {
    StringBuilder names = new StringBuilder();
    boolean doubted = false;
    boolean blind = false;
    boolean trusted = false;
    boolean mayPass = true;
    for (OxygenProbe p : tank.probes().oxygen()) {
      if (p.doubt().isTold()) {
        add(names, p, p.doubtWords());
        doubted = true;
        blind |= p.doubt().isBlind();
        mayPass &=
            !p.doubt().isBlind() || Urgency.mayPass(tank.tank, p, against(tank.ifGasStops()));
      } else {
        trusted |= tank.probes().counts(p, tank.now);
      }
    }
    boolean unwatched = blind && !trusted;
    boolean stuckMeter = addStuckMeters(names);
    boolean steppedTemperature = addSteppedTemperatures(names);
    TimeInHand time =
        doubted ? new TimeInHand.Unknown("oxygen is not to be trusted") : tank.asThingsGo();
    return finding(
        AlarmCause.PROBE_SUSPECT,
        unwatched && !mayPass
            ? Priority.HIGH
            : trusted && !stuckMeter && !steppedTemperature ? Priority.LOW : Priority.MEDIUM,
        names.toString(),
        time,
        unwatched ? names + "; nothing else watches the oxygen of this tank" : names.toString(),
        "",
        unwatched
            ? FirstAction.LOOK_THEN_SEE_PROBE
            : stuckMeter && !doubted ? FirstAction.SEE_METER : FirstAction.SEE_PROBE);
  }

  /** A meter that repeats itself would not show a stop. */
  private boolean addStuckMeters(StringBuilder names) {
    boolean stuck = false;
    for (Probe p : tank.probes().all()) {
      if (p instanceof MeterProbe meter && meter.isStuck()) {
        add(names, p, ProbeDoubt.STUCK.words());
        stuck = true;
      }
    }
    return stuck;
  }

  /** A wrong temperature makes wrong milligrams of a percentage. */
  private boolean addSteppedTemperatures(StringBuilder names) {
    boolean stepped = false;
    for (TemperatureProbe p : tank.probes().temperatures()) {
      if (p.isDoubted()) {
        add(names, p, ProbeDoubt.JUMPED.words());
        stepped = true;
      }
    }
    return stepped;
  }

  private static void add(StringBuilder names, Probe probe, String doubt) {
    names.append(names.isEmpty() ? "" : ", ").append(probe.title()).append(' ').append(doubt);
  }

  private TimeInHand against(TimeInHand time) {
    return Urgency.against(tank.tank, time);
  }

  private Finding finding(
      AlarmCause cause,
      Priority priority,
      String gist,
      TimeInHand time,
      String fact,
      String inHand,
      FirstAction action) {
    return Findings.finding(tank, cause, priority, gist, time, fact, inHand, action);
  }
}
