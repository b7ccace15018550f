// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.util.Set;
import java.util.function.LongFunction;
import opercle.analysis.alarm.AlarmCause;
import org.jspecify.annotations.Nullable;

/**
 * What is the matter with a stocked tank's supply, its oxygen and its probes, at the newest
 * reading, and what a fall is called for as long as it lasts. What comes on slowly is for {@link
 * SlowChecks}. Not thread-safe.
 */
final class Conditions {

  /** What was done at a tank explains a fall for this long, seconds (common practice). */
  private static final double EXPLAINS_SECONDS = 2700.0;

  private static final long NEVER = Long.MIN_VALUE;

  private final Probes probes;
  private final Water water;
  private final Listening listening;
  private final LongFunction<TankNow> here;

  /**
   * What the present fall was raised as; null while there is none, or the gas line has the alarm.
   */
  private @Nullable AlarmCause fallCause;

  private long explainedSince = NEVER;

  /** Whether the present stop has outlasted its pause, or never was one. */
  private boolean stopTold;

  /**
   * For one tank.
   *
   * @param here the tank at an instant; asked for only where something is the matter
   */
  Conditions(Probes probes, Water water, Listening listening, LongFunction<TankNow> here) {
    this.probes = probes;
    this.water = water;
    this.listening = listening;
    this.here = here;
  }

  /** Somebody has done something at the tank that its readings will show. */
  void note(TankEvent event) {
    if (event.kind().explainsFall()) {
      explainedSince = Micros.of(event.time());
    }
    if (event.kind().movesReadings()) {
      fallCause = null;
    }
  }

  /**
   * The line has gas again.
   *
   * @return whether it was off for a pause only, which nobody was told of
   */
  boolean gasIsBack() {
    boolean pause = !stopTold;
    stopTold = false;
    return pause;
  }

  /**
   * Adds what is the matter now.
   *
   * @param now by the probes' clock
   * @param heard by the receiver's
   */
  void addTo(Set<AlarmCause> present, long now, long heard, SlowChecks slow) {
    boolean gasStopped = Probes.anyStopped(probes.flows());
    stopTold = gasStopped && (stopTold || !TimedPauses.isPause(here.apply(now), heard));
    if (stopTold) {
      present.add(AlarmCause.GAS_LINE_STOPPED);
    }
    addOxygen(present, now, heard, slow, gasStopped);
    if (Probes.anyStuck(probes.flows()) || Probes.anyStuck(probes.pressures())) {
      present.add(AlarmCause.PROBE_SUSPECT);
    }
    for (int i = 0; i < probes.temperatures().size(); i++) {
      if (probes.temperatures().get(i).isDoubted()) {
        present.add(AlarmCause.PROBE_SUSPECT);
      }
    }
    if (!gasStopped
        && Probes.anyStopped(probes.pressures())
        && !TimedPauses.isPause(here.apply(now), heard)) {
      present.add(AlarmCause.GAS_NOT_REACHING_WATER);
    }
    if (listening.isUnheard()) {
      present.add(AlarmCause.PROBE_SILENT);
    }
    for (int i = 0; i < probes.all().size(); i++) {
      if (probes.all().get(i).silent) {
        present.add(AlarmCause.PROBE_SILENT);
      }
    }
  }

  private void addOxygen(
      Set<AlarmCause> present, long now, long heard, SlowChecks slow, boolean gasStopped) {
    boolean suspected = false;
    boolean sure = false;
    for (int i = 0; i < probes.oxygen().size(); i++) {
      OxygenProbe p = probes.oxygen().get(i);
      if (!probes.repeatsFreshProbe(p, now)) {
        @Nullable Fall fall = p.fall;
        if (fall != null && !TimedPauses.explain(here.apply(now), p, fall)) {
          sure |= fall.sure();
          suspected |= !fall.sure() && here.apply(now).isWorthTelling(p, fall);
        }
        if (p.level.belowKeep()) {
          present.add(AlarmCause.OXYGEN_LOW);
        }
        if (p.doubt().isTold()) {
          present.add(AlarmCause.PROBE_SUSPECT);
        }
      }
    }
    if (gasStopped && sure) {
      TankNow tank = here.apply(now);
      tank.measuredDemand().ifPresent(d -> water.learnDemand(tank.tank, d));
    }
    if (sure) {
      nameFall(now, heard, slow, gasStopped);
    } else {
      fallCause = null;
    }
    if (fallCause != null) {
      present.add(fallCause);
    } else if (suspected && !sure && !gasStopped) {
      present.add(AlarmCause.OXYGEN_FALLING);
    }
  }

  /**
   * A fall that was found has one alarm: the stopped line's if that was first, else the likelier of
   * two. One that goes on and on is laid to a lost supply later, when that has become likely. While
   * it is only suspected no cause is laid to it; what that raised ends when another alarm speaks
   * for the fall.
   */
  private void nameFall(long now, long heard, SlowChecks slow, boolean gasStopped) {
    if (fallCause == null ? !gasStopped : fallCause == AlarmCause.OXYGEN_FALLING) {
      double lost = here.apply(now).supplyLost(slow.temperatureMoved(), isFallExplained(heard));
      double enough = fallCause == null ? Diagnosis.LOST : Diagnosis.LIKELIEST;
      fallCause = lost >= enough ? AlarmCause.GAS_NOT_REACHING_WATER : AlarmCause.OXYGEN_FALLING;
    }
  }

  /** Whether something that explains a fall was logged of late. */
  boolean isFallExplained(long heard) {
    if (explainedSince == NEVER) {
      return false;
    }
    double since = Micros.seconds(heard - explainedSince);
    return since >= 0.0 && since <= EXPLAINS_SECONDS;
  }

  /** What the present fall was raised as; null where it was not. */
  @Nullable AlarmCause fallCause() {
    return fallCause;
  }

  /** When something was last logged that explains a fall. */
  long explainedSince() {
    return explainedSince;
  }

  /** Whether the present stop is told. */
  boolean stopTold() {
    return stopTold;
  }

  void restore(
      @Nullable AlarmCause savedFallCause, long savedExplainedSince, boolean savedStopTold) {
    fallCause = savedFallCause;
    explainedSince = savedExplainedSince;
    stopTold = savedStopTold;
  }
}
