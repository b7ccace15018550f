// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.util.Locale;
import opercle.analysis.farm.Tank;

/** The sentences of alarms: one of fact, one of time in hand, one action. */
final class Wording {

  private Wording() {}

  static String sentences(Tank tank, String fact, String inHand, String action) {
    return tank.name() + ": " + fact + ". " + inHand + (inHand.isEmpty() ? "" : " ") + action;
  }

  static String inHand(TimeInHand time) {
    if (time instanceof TimeInHand.Minutes m) {
      double likely = m.minutes().likely();
      return likely <= 0.0
          ? "No time in hand: oxygen is at the critical floor."
          : "About " + minutes(likely) + " in hand.";
    }
    if (time instanceof TimeInHand.Unknown u) {
      return "Time in hand not known: " + u.why() + ".";
    }
    return "Oxygen is holding.";
  }

  /** Rounded down: nobody should count on a minute that may not be there. */
  static String minutes(double minutes) {
    if (minutes < 1.0) {
      return "less than 1 min";
    }
    if (minutes < 120.0) {
      return (int) minutes + " min";
    }
    return (int) (minutes / 60.0) + " h";
  }

  static String lasting(double seconds) {
    if (seconds < 120.0) {
      return Math.max(0, (int) seconds) + " s";
    }
    return minutes(seconds / 60.0);
  }

  static String oxygen(double mgPerL) {
    return String.format(Locale.ROOT, "%.1f mg/L", mgPerL);
  }

  /** What to look at first when gas has stopped. */
  static String checkSupply(Tank tank) {
    return switch (tank.supply().source()) {
      case CYLINDER -> "Check valve, regulator, cylinder and hose.";
      case BLOWER -> "Check blower, its power, valve and hose.";
    };
  }
}
