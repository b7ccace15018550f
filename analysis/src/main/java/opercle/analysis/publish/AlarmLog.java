// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.publish;

import java.util.List;
import opercle.analysis.alarm.AlarmEvent;
import opercle.analysis.watch.TankState;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/** Writes every alarm event to the log: a warning when one is raised or grows, a note otherwise. */
public final class AlarmLog implements WatchListener {

  private static final Logger log = LoggerFactory.getLogger("opercle.alarm");

  @Override
  public void events(List<AlarmEvent> events) {
    for (AlarmEvent e : events) {
      switch (e.event()) {
        case RAISED, ESCALATED ->
            log.warn(
                "{} {} {} {}: {}",
                e.priority().id(),
                e.event().id(),
                e.tank(),
                e.cause().id(),
                e.message());
        default -> log.info("{} {} {}: {}", e.event().id(), e.tank(), e.cause().id(), e.message());
      }
    }
  }

  @Override
  public void states(List<TankState> states) {}
}
