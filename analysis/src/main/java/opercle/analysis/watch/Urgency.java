// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import opercle.analysis.Band;
import opercle.analysis.alarm.Priority;
import opercle.analysis.farm.Tank;

/**
 * Priority from consequence and time in hand, and from nothing else; alarm rationale, section 3.
 * The low bound of the time in hand counts, not the likely one.
 *
 * <p>Four levels there (critical, high, medium, low) are three here: its two upper ones both wake
 * people and are {@link Priority#HIGH}.
 */
final class Urgency {

  /** With more than this in hand a lost supply can wait for the morning round. */
  static final double CAN_WAIT_MINUTES = 4.0 * 60.0;

  static final double SHORT_MINUTES = 30.0;
  static final double WAIT_AND_SEE_MINUTES = 45.0;
  static final double SURELY_LOST = 0.95;

  /** A fall this deep that does not bend is hardly a surge (common practice). */
  static final double SURGE_MG_PER_L = 0.7;

  /**
   * From an alarm at night until gas flows again, where somebody sleeps by the tanks, minutes
   * (common practice).
   */
  static final double USUAL_RESPONSE_MINUTES = 20.0;

  /** No stocked tank goes unwatched for longer without somebody being woken (common practice). */
  static final double LONGEST_UNWATCHED_MINUTES = 60.0;

  /**
   * A probe that is out of the water is back after a splash or a bend by then (common practice).
   */
  static final double WAVE_MINUTES = 3.0;

  /** With all probes silent and the time in hand not known (common practice). */
  static final double UNKNOWN_HAND_PATIENCE_MINUTES = 5.0;

  /** So much of the time in hand a silent link may take, where its power may be the blower's. */
  static final double POWERED_PATIENCE_SHARE = 1.0 / 3.0;

  /** The same, where the gas needs no power (both common practice). */
  static final double UNPOWERED_PATIENCE_SHARE = 0.5;

  /** A gateway that starts anew, or a lorry in a dead spot, is mostly back by then (the same). */
  static final double EVERYDAY_DROP_OUT_MINUTES = 10.0;

  private Urgency() {}

  /**
   * The time in hand as the limits here understand it: they are meant for a keeper who takes {@link
   * #USUAL_RESPONSE_MINUTES} to be there. Of one who takes longer, the rest is gone before anything
   * can be done; one who is quicker is called no later for it.
   */
  static TimeInHand against(Tank tank, TimeInHand time) {
    return less(time, extraMinutes(tank));
  }

  /**
   * A time in hand of which so many minutes are gone already; a floor that is not near stays so.
   */
  static TimeInHand less(TimeInHand time, double minutes) {
    if (minutes == 0.0 || !(time instanceof TimeInHand.Minutes m)) {
      return time;
    }
    return new TimeInHand.Minutes(
        new Band(
            Math.max(0.0, m.minutes().low() - minutes),
            Math.max(0.0, m.minutes().likely() - minutes),
            Math.max(0.0, m.minutes().high() - minutes)));
  }

  /** By how much the keeper takes longer than is usual, minutes. */
  static double extraMinutes(Tank tank) {
    return responseMinutes(tank) - USUAL_RESPONSE_MINUTES;
  }

  /** How long it takes to have gas on again; never less than is usual, minutes. */
  static double responseMinutes(Tank tank) {
    return Math.max(USUAL_RESPONSE_MINUTES, tank.responseMinutes().orElse(USUAL_RESPONSE_MINUTES));
  }

  /** The supply is lost: the stock is, when the time in hand is over. */
  static Priority ofSupplyLoss(TimeInHand time) {
    return atLeast(time, CAN_WAIT_MINUTES) ? Priority.MEDIUM : Priority.HIGH;
  }

  /**
   * Oxygen is below the keep floor.
   *
   * @param nearCritical whether it is nearer the critical floor, or under it: then no trend needs
   *     to be believed
   * @param falling whether a fall has been found, so that the time in hand is more than a trend's
   *     guess
   */
  static Priority ofLowOxygen(boolean nearCritical, boolean falling, TimeInHand asThingsGo) {
    return nearCritical || (falling && isShort(asThingsGo)) ? Priority.HIGH : Priority.MEDIUM;
  }

  /**
   * Oxygen falls as if the supply were lost, but nothing else says so. While there is time enough
   * and it may yet be a surge of demand that bends, it is worth knowing but not worth waking for.
   *
   * @param supplyLost how likely it is
   * @param dropMgPerL how far it has fallen
   * @param bends whether the fall slackens
   */
  static Priority ofFall(TimeInHand time, double supplyLost, double dropMgPerL, boolean bends) {
    if (supplyLost >= SURELY_LOST) {
      return ofSupplyLoss(time);
    }
    boolean hardlySurge = supplyLost >= Diagnosis.LOST && dropMgPerL >= SURGE_MG_PER_L && !bends;
    return atLeast(time, hardlySurge ? 2.0 * WAIT_AND_SEE_MINUTES : WAIT_AND_SEE_MINUTES)
        ? Priority.MEDIUM
        : ofSupplyLoss(time);
  }

  /**
   * Oxygen falls, and something other than a lost supply is the likelier reason, or the water is so
   * little known that it is as likely.
   *
   * @param mayPass whether it is most likely the probe's own affair, or faster than the load can
   *     breathe, and neither long nor deep so far, or has turned: a bubble that leaves the probe,
   *     mostly. The water of a tank whose supply is lost falls no faster than its fish breathe
   */
  static Priority ofUnexplainedFall(
      TimeInHand asThingsGo, double dropMgPerL, boolean bends, boolean explained, boolean mayPass) {
    if (mayPass) {
      return Priority.MEDIUM;
    }
    boolean beyondSurge =
        dropMgPerL >= 2.0 * SURGE_MG_PER_L
            && !bends
            && !explained
            && !atLeast(asThingsGo, CAN_WAIT_MINUTES);
    return isShort(asThingsGo) || beyondSurge ? Priority.HIGH : Priority.MEDIUM;
  }

  /** The cylinder will not last. */
  static Priority ofCylinder(double minutes) {
    return minutes < SHORT_MINUTES
        ? Priority.HIGH
        : minutes < 2.0 * 60.0 ? Priority.MEDIUM : Priority.LOW;
  }

  /**
   * All probes of a tank are silent at once: that is one observation, of the link, and says nothing
   * of the water. It is told after a minute, but a link that drops out for some minutes is
   * everyday. What matters is whether the stock could be harmed unseen: the supply may have ended
   * with the last reading. So it wakes people when so much of the time in hand that there was then
   * has gone that half an hour is left, which is where an unwatched tank turns urgent (alarm
   * rationale, section 3). Longer than an hour a stocked tank is never left unwatched.
   *
   * <p>A tank that never had half an hour would wake people with every drop-out, and an alarm that
   * does is soon not answered (alarm rationale, section 5). It is given as long as an everyday
   * drop-out lasts, as far as the worst credible time in hand goes: until then not even the worst
   * has happened, and where the gas comes from a cylinder, nothing that silences the link stops it.
   * Where air comes from a blower, the power that feeds the blower may feed the link too: there the
   * call comes while a keeper most likely still gets there in time. A third of the worst credible
   * time is waited for with a blower, half with a cylinder, in any case.
   *
   * @param silentSeconds for how long
   * @param ifGasStops what would be left, were the supply to have ended unseen
   */
  static Priority ofLinkDown(Tank tank, double silentSeconds, TimeInHand ifGasStops) {
    return silentSeconds >= patienceSeconds(tank, ifGasStops) ? Priority.HIGH : Priority.MEDIUM;
  }

  /**
   * Whether a probe that would not show a fall may soon do so again. Where it is the tank's only
   * one, people are woken when it does not: as for a dead link, but after {@link #WAVE_MINUTES} at
   * the latest.
   */
  static boolean mayPass(Tank tank, OxygenProbe blind, TimeInHand ifGasStops) {
    double patience = Math.min(60.0 * WAVE_MINUTES, patienceSeconds(tank, ifGasStops));
    return blind.doubt().mayPass() && blind.troubleSeconds() < patience;
  }

  private static double patienceSeconds(Tank tank, TimeInHand ifGasStops) {
    double patience = UNKNOWN_HAND_PATIENCE_MINUTES;
    if (ifGasStops instanceof TimeInHand.Minutes m) {
      boolean powered = tank.supply().source() != Tank.Source.CYLINDER;
      double low = m.minutes().low();
      double share = powered ? POWERED_PATIENCE_SHARE : UNPOWERED_PATIENCE_SHARE;
      double everyday = Math.min(low, EVERYDAY_DROP_OUT_MINUTES);
      if (powered) {
        everyday = Math.min(everyday, m.minutes().likely() - USUAL_RESPONSE_MINUTES);
      }
      patience = Math.max(everyday, Math.max(share * low, low - SHORT_MINUTES));
    } else if (ifGasStops instanceof TimeInHand.Holding) {
      patience = LONGEST_UNWATCHED_MINUTES;
    }
    return 60.0 * Math.max(1.0, Math.min(LONGEST_UNWATCHED_MINUTES, patience));
  }

  private static boolean isShort(TimeInHand time) {
    return time instanceof TimeInHand.Minutes && !atLeast(time, SHORT_MINUTES);
  }

  private static boolean atLeast(TimeInHand time, double minutes) {
    if (time instanceof TimeInHand.Minutes m) {
      return m.minutes().low() >= minutes;
    }
    return time instanceof TimeInHand.Holding;
  }
}
