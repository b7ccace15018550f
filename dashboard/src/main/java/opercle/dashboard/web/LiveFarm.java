// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.web;

import java.time.Instant;
import java.time.ZoneId;
import java.util.List;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.evening.EveningCheck;
import opercle.analysis.evening.EveningView;
import opercle.analysis.evening.Morning;
import opercle.analysis.evening.Reach;
import opercle.analysis.farm.Farm;
import opercle.analysis.publish.TankAct;
import opercle.analysis.watch.TankState;

/**
 * What the pages show and what they do.
 *
 * <p>Called from several threads at once. Every method must return promptly: one thread asks once a
 * second for everybody who is looking.
 */
public interface LiveFarm {

  /** The farm as it is described now. */
  Farm farm();

  /** The farm's time: the clock's, or that of the simulation or trace being shown. */
  Instant now();

  /** The newest state of every tank that has one, in any order. */
  List<TankState> states();

  /**
   * A named person does something about a tank. What is about an alarm that no longer stands does
   * nothing. When this returns, the watch has it, or the broker has it for the watch.
   *
   * @throws opercle.analysis.alarm.RefusedActException if it must not be done
   * @throws NotPassedOnException if the watch cannot be reached
   */
  void perform(TankAct act);

  /**
   * A named person has an alarm. Does nothing if it no longer stands, or if somebody has it
   * already.
   *
   * @param tank the tank's id
   * @param cause which alarm of that tank
   * @param by who, as they wrote it; not blank
   */
  default void acknowledge(String tank, AlarmCause cause, String by) {
    perform(TankAct.OnAlarm.of(tank, cause, TankAct.OnAlarm.What.ACKNOWLEDGE, by));
  }

  /** What was sent but not taken, since the start. */
  NotTaken notTaken();

  /**
   * What keeps readings from arriving or from being kept just now, each a sentence for the keeper:
   * a lost broker, a store that takes nothing. Empty when all is well.
   */
  List<String> troubles();

  /** How the parts that the monitor stands on are; what is not known here is left out. */
  default MonitorState monitor() {
    return MonitorState.UNKNOWN;
  }

  /** Who would be called tonight; not known where this process calls nobody. */
  default Reach reach() {
    return Reach.NOT_KNOWN;
  }

  /** When somebody looks again, for the evening check. */
  default Morning morning() {
    return new Morning(Morning.USUAL, ZoneId.systemDefault());
  }

  /** The monitor's own troubles with what to do about each, for the evening check. */
  default List<EveningView.Trouble> troublesToMend() {
    return troubles().stream()
        .map(
            words ->
                new EveningView.Trouble(
                    words, "Opercle's log says more; tell whoever looks after it."))
        .toList();
  }

  /** Troubles of the monitor that people are called for, or were until somebody had it. */
  default List<MonitorState.Called> called() {
    return List.of();
  }

  /** Whether the keeper can go to bed. */
  default EveningCheck evening() {
    Instant now = now();
    return EveningCheck.of(
        new EveningView(
            farm(),
            now,
            morning().after(now),
            morning().zone(),
            states(),
            troublesToMend(),
            reach()));
  }
}
