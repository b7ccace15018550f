// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.Priority;
import opercle.analysis.farm.Farm;
import opercle.analysis.farm.Tank;

/**
 * An alarm as it is read aloud to somebody who can neither read nor type, for instance at the
 * wheel: the tank, what is wrong, how long, and one thing to do, in one breath. Pure; for any
 * thread.
 *
 * <p>Example: "Tank 2, gas lost, about 9 minutes. Stop when safe."
 */
public final class Spoken {

  private static final double MINUTES_UNTIL = 120.0; // longer times are said in hours

  private Spoken() {}

  /**
   * The sentences.
   *
   * @param state the tank's state at which the minutes are taken; minutes are rounded down
   */
  public static String of(Farm farm, Tank tank, Alarm alarm, TankState state) {
    if (alarm.tanks().size() > 1) {
      return ofSeveral(farm, tank, alarm);
    }
    String time = time(alarm.cause(), state);
    return tank.name()
        + ", "
        + fact(alarm.cause())
        + (time.isEmpty() ? "" : ", " + time)
        + ". "
        + action(tank, alarm.priority());
  }

  /** One that speaks for several tanks: the one with the least time first, and its time. */
  private static String ofSeveral(Farm farm, Tank tank, Alarm alarm) {
    String worst = farm.tank(alarm.tanks().get(0)).map(Tank::name).orElse(tank.name());
    int others = alarm.tanks().size() - 1;
    String time =
        alarm.timeInHandMinutes().isPresent()
            ? words(alarm.timeInHandMinutes().getAsDouble())
            : "time not known";
    return "%s and %d more, %s, %s. %s"
        .formatted(worst, others, fact(alarm.cause()), time, action(tank, alarm.priority()));
  }

  private static String fact(AlarmCause cause) {
    return switch (cause) {
      case GAS_LINE_STOPPED -> "gas lost";
      case GAS_NOT_REACHING_WATER -> "gas not reaching the water";
      case OXYGEN_FALLING -> "oxygen falling";
      case OXYGEN_LOW -> "oxygen low";
      case OXYGEN_HIGH -> "oxygen too high";
      case CYLINDER_LOW -> "cylinder running low";
      case WATER_WARM -> "water too warm";
      case OXYGEN_UNEVEN -> "two probes disagree";
      case PROBE_SILENT -> "a probe has gone quiet";
      case PROBE_SUSPECT -> "a probe cannot be trusted";
      case LOAD_TOO_HEAVY -> "more fish than the gas can keep";
      case HELD_TOO_LONG -> "fish held too long";
      case WASTE_HIGH -> "waste building up";
    };
  }

  /**
   * The time that holds. Oxygen takes minutes to show the loss of the gas, so that until it does
   * the shorter of the two times is the true one.
   */
  private static String time(AlarmCause cause, TankState state) {
    return switch (cause) {
      case GAS_LINE_STOPPED, GAS_NOT_REACHING_WATER ->
          words(shorter(state.timeInHand(), state.timeInHandIfGasStops()));
      case OXYGEN_FALLING, OXYGEN_LOW, LOAD_TOO_HEAVY -> words(state.timeInHand());
      default -> "";
    };
  }

  private static TimeInHand shorter(TimeInHand asThingsGo, TimeInHand ifGasStops) {
    if (asThingsGo instanceof TimeInHand.Minutes a && ifGasStops instanceof TimeInHand.Minutes b) {
      return a.minutes().likely() <= b.minutes().likely() ? a : b;
    }
    if (asThingsGo instanceof TimeInHand.Minutes) {
      return asThingsGo;
    }
    return ifGasStops instanceof TimeInHand.Holding ? asThingsGo : ifGasStops;
  }

  private static String words(TimeInHand time) {
    if (time instanceof TimeInHand.Minutes m) {
      return words(m.minutes().likely());
    }
    return time instanceof TimeInHand.Unknown ? "time not known" : "";
  }

  private static String words(double minutes) {
    if (minutes <= 0.0) {
      return "no time in hand";
    }
    if (minutes < 1.0) {
      return "less than a minute";
    }
    if (minutes < MINUTES_UNTIL) {
      int whole = (int) minutes;
      return "about " + whole + (whole == 1 ? " minute" : " minutes");
    }
    return "about " + (int) (minutes / 60.0) + " hours";
  }

  private static String action(Tank tank, Priority priority) {
    boolean hauled = tank.kind() == Tank.Kind.TRANSPORT;
    return switch (priority) {
      case HIGH -> hauled ? "Stop when safe." : "Go to it now.";
      case MEDIUM -> hauled ? "Look at the next stop." : "Go and look.";
      case LOW -> hauled ? "Look at the next stop." : "Look when you can.";
    };
  }
}
