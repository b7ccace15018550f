// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import opercle.analysis.alarm.AlarmCause;
import opercle.analysis.holding.HoldingEstimate;
import opercle.analysis.holding.HoldingEstimate.Seen;
import opercle.analysis.holding.HoldingNow;
import opercle.analysis.holding.TankWork;
import opercle.analysis.holding.WasteJudgement;
import opercle.ingest.reading.Quantity;
import org.jspecify.annotations.Nullable;

/**
 * What builds up in a holding tank over days; looked at once a minute. Days need only the farm's
 * description; waste is judged only once somebody has told what is written down of the tank, so
 * that neither a replay nor a start without a farm book guesses. Not thread-safe.
 */
final class HoldingChecks {

  static final double EVERY_SECONDS = 60.0;
  static final double RECKONED_SECONDS = 600.0;
  private static final Duration MEALS_KEPT = Duration.ofDays(3);

  private @Nullable TankWork work;
  private final List<Instant> meals = new ArrayList<>();
  private boolean looked;
  private long lastLook;
  private Optional<HoldingNow> now = Optional.empty();
  private Optional<WasteJudgement> waste = Optional.empty();
  private Sustained wasteHolds = Sustained.NOT;

  /** What is written down of the tank, all of it. */
  void know(TankWork written) {
    work = written;
    looked = false;
  }

  /** The fish were fed, and nobody has said how much. */
  void fed(Instant time) {
    meals.removeIf(meal -> meal.plus(MEALS_KEPT).isBefore(time));
    meals.add(time);
    looked = false;
  }

  /** The tank is described anew. */
  void lookAgain() {
    looked = false;
  }

  /** The clock by which it looks has stepped. */
  void stepBy(long micros) {
    wasteHolds = wasteHolds.laterBy(micros);
    looked = false;
  }

  /** Whether what is written down is known, without which nothing is said of waste. */
  boolean knowsWork() {
    return work != null;
  }

  /**
   * Looks, if it is time.
   *
   * @param stands whether waste has an alarm already
   */
  void look(TankNow tank, boolean stands) {
    double since = Micros.seconds(tank.now - lastLook);
    if (looked && since < EVERY_SECONDS && since >= 0.0) {
      return;
    }
    looked = true;
    lastLook = tank.now;
    TankWork written = work == null ? TankWork.NONE : work;
    now =
        HoldingEstimate.of(
            tank.tank,
            written.withMeals(meals, tank.tank.id()),
            new Seen(
                tank.temperatureC(),
                tank.probes().fresh(Quantity.PH, tank.now),
                tank.probes().fresh(Quantity.SALINITY, tank.now),
                tank.gasFlow()),
            Micros.instant(tank.now));
    waste = work == null ? Optional.empty() : now.flatMap(n -> WasteJudgement.of(n, stands));
    wasteHolds = wasteHolds.next(waste.isPresent(), tank.now);
  }

  /**
   * Adds what is the matter.
   *
   * @param stands whether waste has an alarm already: a restart must not end it for ten minutes
   */
  void addTo(Set<AlarmCause> present, boolean stands, long at) {
    if (isHeldTooLong()) {
      present.add(AlarmCause.HELD_TOO_LONG);
    }
    if (waste.isPresent()
        && (stands || waste.get().measured() || wasteHolds.isFor(RECKONED_SECONDS, at))) {
      present.add(AlarmCause.WASTE_HIGH);
    }
  }

  private boolean isHeldTooLong() {
    OptionalDouble days = now.map(HoldingNow::daysHeld).orElse(OptionalDouble.empty());
    return days.isPresent() && days.getAsDouble() >= now.get().limits().days();
  }

  /** What has built up; empty for a tank that is not for holding, or holds no fish. */
  Optional<HoldingNow> now() {
    return now;
  }

  /** What calls for somebody. */
  Optional<WasteJudgement> waste() {
    return waste;
  }
}
