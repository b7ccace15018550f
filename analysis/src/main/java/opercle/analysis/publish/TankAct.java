// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.publish;

import java.time.Duration;
import java.util.Locale;
import java.util.Optional;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.watch.TankEvent;

/** Something that a named person does about a tank, by whichever door it comes in. */
public sealed interface TankAct {

  /** The tank's id. */
  String tank();

  /** Who does it. */
  String by();

  /**
   * Something done to an alarm. Where no such alarm stands, it does nothing.
   *
   * @param what which act
   * @param length for how long, for {@link OnAlarm.What#SHELVE}; otherwise empty
   */
  record OnAlarm(String tank, AlarmCause cause, What what, String by, Optional<Duration> length)
      implements TankAct {

    /** Three different acts, and two of putting aside. */
    public enum What {
      /** I have it. */
      ACKNOWLEDGE,
      /** Stop the sound for two minutes. */
      SILENCE,
      /** I have looked: a latched alarm is done with. */
      RESET,
      /** Put it aside for a while. */
      SHELVE,
      /** Take it back. */
      UNSHELVE;

      /** The word in topics and addresses. */
      public String id() {
        return name().toLowerCase(Locale.ROOT);
      }
    }

    /** An act that needs no length. */
    public static OnAlarm of(String tank, AlarmCause cause, What what, String by) {
      return new OnAlarm(tank, cause, what, by, Optional.empty());
    }
  }

  /**
   * A tank, or one cause of it, is taken out of service.
   *
   * @param cause which cause; empty for all of the tank's
   * @param reason why
   * @param length for how long
   */
  record TakeOutOfService(
      String tank, Optional<AlarmCause> cause, String reason, String by, Duration length)
      implements TankAct {}

  /**
   * It is returned to service before its time.
   *
   * @param cause which cause; empty for the order over all of the tank
   */
  record ReturnToService(String tank, Optional<AlarmCause> cause, String by) implements TankAct {}

  /**
   * Something was done at the tank that its readings will show.
   *
   * @param kind what
   */
  record Note(String tank, TankEvent.Kind kind, String by) implements TankAct {}
}
