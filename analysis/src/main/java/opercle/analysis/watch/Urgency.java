// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import opercle.analysis.alarm.Priority;

/**
 * Priority from consequence and time in hand, and from nothing else; alarm rationale, section 3.
 * The low bound of the time in hand counts, not the likely one.
 *
 * <p>Four levels there (critical, high, medium, low) are three here: its two upper ones both wake
 * people and are {@link Priority#HIGH}.
 */
final class Urgency {

  /** With more than this in hand a lost supply can wait for the morning round. */
  private static final double CAN_WAIT_MINUTES = 4.0 * 60.0;

  private static final double SHORT_MINUTES = 30.0;
  private static final double LINK_SECONDS = 180.0;
  private static final double WAIT_AND_SEE_MINUTES = 45.0;
  private static final double SURELY_LOST = 0.95;

  /** A fall this deep that does not bend is hardly a surge (common practice). */
  private static final double SURGE_MG_PER_L = 0.7;

  private Urgency() {}

  /** The supply is lost: the stock is, when the time in hand is over. */
  static Priority ofSupplyLoss(TimeInHand time) {
    return atLeast(time, CAN_WAIT_MINUTES) ? Priority.MEDIUM : Priority.HIGH;
  }

  /** Oxygen is below the keep floor. */
  static Priority ofLowOxygen(boolean belowCritical, TimeInHand asThingsGo) {
    return belowCritical || isShort(asThingsGo) ? Priority.HIGH : Priority.MEDIUM;
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

  /** Oxygen falls, and something other than a lost supply is the likelier reason. */
  static Priority ofUnexplainedFall(
      TimeInHand asThingsGo, double dropMgPerL, boolean bends, boolean explained) {
    boolean beyondSurge = dropMgPerL >= 2.0 * SURGE_MG_PER_L && !bends && !explained;
    return isShort(asThingsGo) || beyondSurge ? Priority.HIGH : Priority.MEDIUM;
  }

  /** The cylinder will not last. */
  static Priority ofCylinder(double minutes) {
    return minutes < SHORT_MINUTES
        ? Priority.HIGH
        : minutes < 2.0 * 60.0 ? Priority.MEDIUM : Priority.LOW;
  }

  /**
   * Nothing watches the oxygen. A link that drops for a minute or two wakes nobody where there is
   * time.
   */
  static Priority ofUnwatched(TimeInHand ifGasStops, double silentSeconds) {
    return silentSeconds < LINK_SECONDS && atLeast(ifGasStops, SHORT_MINUTES)
        ? Priority.MEDIUM
        : Priority.HIGH;
  }

  /** A second pair of eyes is lost, another still watches. */
  static Priority ofLostRedundancy(TimeInHand ifGasStops) {
    return isShort(ifGasStops) ? Priority.HIGH : Priority.MEDIUM;
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
