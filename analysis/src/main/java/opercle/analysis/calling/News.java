// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import java.util.List;
import opercle.analysis.alarm.AlarmEvent;

/** What calling goes by. */
public sealed interface News {

  /** Something happened to an alarm. The same event again changes nothing. */
  record Happened(AlarmEvent event) implements News {}

  /**
   * All alarms as they stand now, each as an event with the minutes in hand as of now. Sets right
   * what was missed.
   */
  record Standing(List<AlarmEvent> alarms) implements News {
    public Standing {
      alarms = List.copyOf(alarms);
    }
  }

  /** What became of a call that was sent. */
  record Result(String key, Delivery delivery) implements News {}

  /** A person takes the wheel, or leaves it. */
  record Driving(String person, boolean driving) implements News {}

  /** Somebody wants all channels of a person tested now. */
  record TestWanted(String person, String by) implements News {}
}
