// SPDX-License-Identifier: Apache-2.0
package opercle.dashboard.assess;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.alarm.Priority;
import opercle.analysis.watch.TimeInHand;
import opercle.simulator.NightKind;
import opercle.simulator.probe.Fittings;

/**
 * One night as it was and as it was told: all that judging needs. Times are the receiver's, so that
 * what a slow link costs is in every delay. Immutable.
 *
 * @param kind what the night was about
 * @param start when it started
 * @param end when nobody listened any more
 * @param onset when the event set in; empty on a quiet night
 * @param harmAt when the whole tank's true oxygen was first at its critical floor, from the onset
 *     on, or from the start where there is none; may lie after the end. Empty: it never was
 * @param keepFloorMgPerL the tank's keep floor
 * @param fittings the instruments
 * @param steepestMgPerLPerMin the ramp from the onset that the true fall touches and never goes
 *     below; empty where nothing fell
 * @param told each call of the watch, of any priority, in order
 * @param rules each call of the plain rules, in order
 * @param looks the watch's time in hand, once a minute
 */
record NightRecord(
    NightKind kind,
    Instant start,
    Instant end,
    Optional<Instant> onset,
    Optional<Instant> harmAt,
    double keepFloorMgPerL,
    Fittings fittings,
    OptionalDouble steepestMgPerLPerMin,
    List<Told> told,
    Map<Detector, List<Call>> rules,
    List<Look> looks) {

  NightRecord {
    told = List.copyOf(told);
    rules = Map.copyOf(rules);
    looks = List.copyOf(looks);
  }

  /**
   * Somebody is called.
   *
   * @param at when
   * @param trueOxygenMgPerL the whole tank's oxygen at that time
   */
  record Call(Instant at, double trueOxygenMgPerL) {}

  /**
   * The watch raised an alarm or made it more urgent.
   *
   * @param call when
   * @param cause the alarm's cause
   * @param priority its priority now
   * @param look the time in hand that it stated then
   */
  record Told(Call call, AlarmCause cause, Priority priority, Look look) {

    boolean isHigh() {
      return priority == Priority.HIGH;
    }
  }

  /**
   * The watch's two times in hand at an instant.
   *
   * @param at when
   * @param asThingsGo as things go
   * @param ifGasStops were the supply to end then
   */
  record Look(Instant at, TimeInHand asThingsGo, TimeInHand ifGasStops) {}

  /** Whether supply or demand went wrong and the critical floor was reached by it. */
  boolean isHarmful() {
    return kind.isFault() && harmAt.isPresent();
  }

  /** Until when a call is of use: the critical floor or the end, whichever comes first. */
  Instant deadline() {
    return harmAt.filter(t -> t.isBefore(end)).orElse(end);
  }

  /** Whether the floor was reached while somebody still listened. */
  boolean harmedBeforeTheEnd() {
    return deadline().isBefore(end);
  }

  /** Minutes from an instant to the floor; negative when past. */
  OptionalDouble minutesToHarm(Instant from) {
    return harmAt.isPresent()
        ? OptionalDouble.of(Duration.between(from, harmAt.get()).toMillis() / 60_000.0)
        : OptionalDouble.empty();
  }
}
