// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.util.Locale;
import java.util.OptionalDouble;
import opercle.analysis.alarm.FirstAction;
import opercle.analysis.farm.Tank;

/** The sentences of alarms: one of fact, one of time in hand, one action. */
final class Wording {

  private Wording() {}

  static String sentences(Tank tank, String fact, String inHand, FirstAction action) {
    return tank.name()
        + ": "
        + fact
        + ". "
        + inHand
        + (inHand.isEmpty() ? "" : " ")
        + action.sentence();
  }

  static String inHand(TimeInHand time) {
    if (time instanceof TimeInHand.Minutes m) {
      double likely = m.minutes().likely();
      return likely <= 0.0
          ? "No time in hand: oxygen is at the critical floor."
          : sentence(about(likely) + " in hand.");
    }
    if (time instanceof TimeInHand.Unknown u) {
      return "Time in hand not known: " + u.why() + ".";
    }
    return "Oxygen is holding.";
  }

  /** One of several tanks, for a list. */
  static String inHandOf(String tank, OptionalDouble likelyMinutes) {
    return likelyMinutes.isPresent()
        ? tank + " " + about(likelyMinutes.getAsDouble()) + " in hand"
        : tank;
  }

  /** For an alarm that does not mean that gas has stopped. */
  static String ifGasStops(TimeInHand time) {
    return time instanceof TimeInHand.Minutes m
        ? sentence(about(m.minutes().likely()) + " in hand if gas stops.")
        : "";
  }

  private static String about(double minutes) {
    return (minutes < 1.0 ? "" : "about ") + minutes(minutes);
  }

  private static String sentence(String words) {
    return Character.toUpperCase(words.charAt(0)) + words.substring(1);
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

  /** Rounded down, so that what is below a floor is not told as at it. */
  static String oxygen(double mgPerL) {
    return String.format(Locale.ROOT, "%.1f mg/L", Math.floor(10.0 * mgPerL + 1e-9) / 10.0);
  }

  /** A number without a point that it does not need. */
  static String plain(double value) {
    return value == Math.rint(value) ? Long.toString((long) value) : Double.toString(value);
  }

  static String rate(double mgPerLPerMinute) {
    return String.format(Locale.ROOT, "%.2f mg/L a minute", mgPerLPerMinute);
  }

  static String bar(double bar) {
    return String.format(Locale.ROOT, "%.2f bar", bar);
  }

  static String celsius(double celsius) {
    return String.format(Locale.ROOT, "%.1f °C", celsius);
  }

  /** What to do first when gas has stopped. */
  static FirstAction restoreSupply(Tank tank) {
    return switch (tank.supply().source()) {
      case CYLINDER -> FirstAction.RESTORE_CYLINDER;
      case BLOWER -> FirstAction.RESTORE_BLOWER;
    };
  }
}
