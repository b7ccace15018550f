// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * What it means for a tank whose gas a timer shuts off, as its keeper has said: a stop no longer
 * than such a pause, and the fall that it makes, are nobody's alarm.
 *
 * <p>The fish do not know of the timer. Whatever the keeper has said, nothing is withheld once the
 * least that the time in hand may be is shorter than it takes to get there: oxygen that is low has
 * its own alarm in any case. Pure.
 */
final class TimedPauses {

  /**
   * A fall shows this much later in the probe than in the water, and its beginning is known no
   * better (common practice).
   */
  static final double LAG_SECONDS = 60.0;

  /**
   * A turn that is nearly level hides in the noise. So a fall of no more than the usual depth is
   * waited for so many times as long as a pause may last, and for less long where the usual depth
   * is not known yet (common practice).
   */
  private static final double LIMITS_IF_USUAL = 3.0;

  private static final double LIMITS_IF_NOT_KNOWN = 2.0;

  private TimedPauses() {}

  /**
   * Whether a meter of flow, or where there is none of pressure, shows no gas, and it is a pause so
   * far.
   *
   * @param heard now, by the receiver's clock
   */
  static boolean isPause(TankNow tank, long heard) {
    double limit = limitSeconds(tank);
    if (limit == 0.0) {
      return false;
    }
    boolean off = false;
    List<MeterProbe> flows = tank.probes().flows();
    for (MeterProbe p : flows.isEmpty() ? tank.probes().pressures() : flows) {
      if (p.meter.isLow()) {
        off = true;
        if (p.stoppedSeconds(heard) >= limit) {
          return false;
        }
      }
    }
    return off && hasTime(tank);
  }

  /** Whether a fall that a probe shows may be no more than what a pause makes of its oxygen. */
  static boolean explain(TankNow tank, OxygenProbe probe, Fall fall) {
    double limit = limitSeconds(tank);
    double age = Micros.seconds(probe.trend.last() - fall.since());
    return limit > 0.0
        && age < limits(probe.saw) * limit + LAG_SECONDS
        && beganWithPause(tank.probes(), fall)
        && hasTime(tank);
  }

  private static double limits(SawTooth saw) {
    return !saw.isKnown() ? LIMITS_IF_NOT_KNOWN : saw.isUsual() ? LIMITS_IF_USUAL : 1.0;
  }

  /**
   * Gas is back after a pause: what fell in it is not held against the gas that flows now. What
   * fell before goes on.
   */
  static void forgetFalls(Probes probes) {
    for (OxygenProbe p : probes.oxygen()) {
      @Nullable Fall fall = p.fall;
      if (fall != null && beganWithPause(probes, fall)) {
        p.forgetFall();
      }
    }
  }

  /**
   * Takes a reading of a probe whose gas has a timer: oxygen that goes on down where it should have
   * come back is a fall, whatever the detector takes for ordinary here, and a fall that has turned
   * within a pause's time is none.
   *
   * @param limitSeconds how long a pause may last; 0 where there is none
   */
  static void follow(OxygenProbe probe, double limitSeconds) {
    if (limitSeconds == 0.0) {
      return;
    }
    long time = probe.trend.last();
    probe.saw = probe.saw.next(time, probe.trend.fitted(), probe.noise());
    @Nullable Fall fall = probe.fall;
    if (fall != null && fall.sure()) {
      if (hasTurned(fall, time, limitSeconds)) {
        probe.forgetFall();
      }
    } else if (probe.doubt() == ProbeDoubt.NONE && probe.saw.goesOn(time, limitSeconds)) {
      probe.fall = probe.saw.fall(time, probe.trend);
    }
  }

  private static boolean hasTurned(Fall fall, long time, double limitSeconds) {
    return fall.levelSince() != Fall.FALLING
        && Micros.seconds(time - fall.levelSince()) >= LAG_SECONDS
        && Micros.seconds(fall.levelSince() - fall.since())
            < LIMITS_IF_NOT_KNOWN * limitSeconds + LAG_SECONDS;
  }

  private static double limitSeconds(TankNow tank) {
    return 60.0 * tank.tank.supply().pauseLimitMinutes();
  }

  /** Where no meter sees the gas, any fall may have begun with a pause. */
  private static boolean beganWithPause(Probes probes, Fall fall) {
    if (probes.flows().isEmpty()) {
      return true;
    }
    for (MeterProbe p : probes.flows()) {
      long start = p.meter.isLow() ? p.meter.lowSince() : p.meter.past().start();
      if (start != PastStops.NEVER && Micros.seconds(fall.since() - start) >= -LAG_SECONDS) {
        return true;
      }
    }
    return false;
  }

  private static boolean hasTime(TankNow tank) {
    return !(tank.supplyLost() instanceof TimeInHand.Minutes m)
        || m.minutes().low() >= Urgency.responseMinutes(tank.tank);
  }
}
