// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.calling;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.concurrent.CopyOnWriteArrayList;
import opercle.analysis.Band;
import opercle.analysis.alarm.Alarm;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.AlarmId;
import opercle.analysis.alarm.AlarmState;
import opercle.analysis.alarm.Priority;
import opercle.analysis.farm.Farm;
import opercle.analysis.publish.TankAct;
import opercle.analysis.watch.TankState;
import opercle.analysis.watch.TimeInHand;
import opercle.dashboard.web.LiveFarm;
import opercle.dashboard.web.NotPassedOnException;
import opercle.dashboard.web.NotTaken;

/** A farm with one tank whose gas has stopped, or not. For any thread. */
final class StandingFarm implements LiveFarm {

  final List<String> acknowledged = new CopyOnWriteArrayList<>();
  volatile Instant now = Made.NIGHT;
  volatile Optional<Instant> since = Optional.of(Made.NIGHT);
  volatile boolean isCutOff;

  /** Who has pressed just before the next one does. */
  volatile Optional<String> isQuicker = Optional.empty();

  volatile Optional<String> hasIt = Optional.empty();
  volatile Optional<AlarmState> putAside = Optional.empty();

  @Override
  public Farm farm() {
    return Made.farm();
  }

  @Override
  public Instant now() {
    return now;
  }

  @Override
  public List<TankState> states() {
    return List.of(
        new TankState(
            "h2",
            now,
            Optional.of(now),
            OptionalDouble.of(8.6),
            OptionalDouble.empty(),
            OptionalDouble.empty(),
            OptionalDouble.empty(),
            OptionalDouble.empty(),
            OptionalDouble.empty(),
            new TimeInHand.Minutes(new Band(6, 8.7, 11)),
            new TimeInHand.Unknown("no matter"),
            since.map(this::alarm).map(List::of).orElse(List.of())));
  }

  private Alarm alarm(Instant raised) {
    AlarmState state =
        putAside.orElse(hasIt.isPresent() ? AlarmState.ACKNOWLEDGED : AlarmState.UNACKNOWLEDGED);
    return new Alarm(
        "h2",
        AlarmCause.GAS_LINE_STOPPED,
        Priority.HIGH,
        state,
        raised,
        hasIt,
        Made.alarm().message(),
        state.callsSomebody(),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        state == AlarmState.SUPPRESSED
            ? Optional.of(new AlarmId("h2", AlarmCause.GAS_NOT_REACHING_WATER))
            : Optional.empty(),
        List.of(),
        OptionalDouble.empty());
  }

  @Override
  public void perform(TankAct act) {
    if (isCutOff) {
      throw new NotPassedOnException("The watch cannot be reached.");
    }
    acknowledged.add(act.by());
    hasIt = isQuicker.or(() -> Optional.of(act.by())); // the first name stays
  }

  @Override
  public NotTaken notTaken() {
    return NotTaken.NOTHING;
  }

  @Override
  public List<String> troubles() {
    return List.of();
  }
}
