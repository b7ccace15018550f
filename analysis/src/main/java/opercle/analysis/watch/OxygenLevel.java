// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

import opercle.analysis.farm.Tank;

/**
 * Whether one probe's oxygen is below the floors. Two samples below a floor count; after that, only
 * a sample above the floor by the deadband ends it. A value.
 *
 * @param keepRun samples below the keep floor in a row, counted to two
 * @param criticalRun the same for the critical floor
 * @param belowKeep whether oxygen is below the keep floor
 * @param belowCritical whether it is below the critical floor
 */
record OxygenLevel(int keepRun, int criticalRun, boolean belowKeep, boolean belowCritical) {

  static final OxygenLevel NOT_HEARD = new OxygenLevel(0, 0, false, false);

  /** Alarm rationale, section 4: at least 0.3 mg/L. */
  static final double DEADBAND_MG_PER_L = 0.3;

  static final int SAMPLES = 2;

  OxygenLevel next(double mgPerL, Tank.Floors floors) {
    int keeps = run(keepRun, mgPerL, floors.keepMgPerL());
    int criticals = run(criticalRun, mgPerL, floors.criticalMgPerL());
    boolean keep = below(belowKeep, keeps, mgPerL, floors.keepMgPerL());
    boolean critical = below(belowCritical, criticals, mgPerL, floors.criticalMgPerL());
    if (keeps == keepRun
        && criticals == criticalRun
        && keep == belowKeep
        && critical == belowCritical) {
      return this;
    }
    return new OxygenLevel(keeps, criticals, keep, critical);
  }

  private static int run(int soFar, double mgPerL, double floor) {
    return mgPerL < floor ? Math.min(SAMPLES, soFar + 1) : 0;
  }

  private static boolean below(boolean was, int run, double mgPerL, double floor) {
    return run >= SAMPLES || (was && mgPerL < floor + DEADBAND_MG_PER_L);
  }
}
