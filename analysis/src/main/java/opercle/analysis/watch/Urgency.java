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

  private Urgency() {}

  /** The supply is lost: the stock is, when the time in hand is over. */
  static Priority ofSupplyLoss(TimeInHand time) {
    return atLeast(time, CAN_WAIT_MINUTES) ? Priority.MEDIUM : Priority.HIGH;
  }

  /** Oxygen is below the keep floor. */
  static Priority ofLowOxygen(boolean belowCritical, TimeInHand asThingsGo) {
    return belowCritical || isShort(asThingsGo) ? Priority.HIGH : Priority.MEDIUM;
  }

  /** Oxygen falls, and something other than a lost supply is the likelier reason. */
  static Priority ofUnexplainedFall(TimeInHand asThingsGo) {
    return isShort(asThingsGo) ? Priority.HIGH : Priority.MEDIUM;
  }

  /** The cylinder will not last. */
  static Priority ofCylinder(double minutes) {
    return minutes < SHORT_MINUTES
        ? Priority.HIGH
        : minutes < 2.0 * 60.0 ? Priority.MEDIUM : Priority.LOW;
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
