// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.calling;

import java.util.List;
import java.util.Optional;
import java.util.Set;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.monitor.MonitorTrouble;

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

  /**
   * All troubles of the monitor itself as they stand now.
   *
   * @param stocked whether there are fish to watch
   */
  record Troubles(List<MonitorTrouble> standing, boolean stocked) implements News {
    public Troubles {
      standing = List.copyOf(standing);
    }
  }

  /**
   * A person has a trouble of the monitor.
   *
   * @param key {@link MonitorCause#key}
   */
  record Had(String key, String person) implements News {}

  /** What became of a call that was sent. */
  record Result(String key, Delivery delivery) implements News {}

  /** A person takes the wheel, or leaves it; it counts for an hour unless it is said again. */
  record Driving(String person, boolean driving) implements News {}

  /**
   * These ways lead elsewhere from now on, or nowhere: what was known of them is true no longer.
   */
  record Changed(Set<Target> ways) implements News {
    public Changed {
      ways = Set.copyOf(ways);
    }
  }

  /**
   * Somebody wants a person's channels tested now.
   *
   * @param channel that one alone; empty: all of them
   */
  record TestWanted(String person, String by, Optional<String> channel) implements News {

    /** All channels. */
    public TestWanted(String person, String by) {
      this(person, by, Optional.empty());
    }
  }
}
