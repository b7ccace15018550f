// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

/** What it may be that a probe's oxygen and the temperature stepped together. */
final class StepOfBoth {

  /**
   * Out of the water temperature and oxygen step together, by these, or by less oxygen where the
   * temperature steps by as many times more (common practice). A part of the water that is changed
   * makes smaller steps of the same kind.
   */
  private static final double OUT_OF_WATER_C = 1.5;

  private static final double OUT_OF_WATER_MG_PER_L = 0.5;
  private static final double LEAST_OUT_OF_WATER_MG_PER_L = 0.2;

  /**
   * Of the way to saturation with air: a minute after it came out of the water a probe has gone
   * nine tenths of it or more (T90 of 10 to 60 s), while with fish in the tank hardly anybody
   * changes more than this share of the water (common practice).
   */
  private static final double MOST_CHANGED = 0.6;

  private StepOfBoth() {}

  /** Whether the probe is out of the water, by how far they stepped, °C and mg/L. */
  static boolean isOutOfWater(double steppedC, double steppedMgPerL) {
    double c = Math.abs(steppedC);
    double mgPerL = Math.abs(steppedMgPerL);
    return c >= OUT_OF_WATER_C
        && mgPerL >= LEAST_OUT_OF_WATER_MG_PER_L
        && c * mgPerL >= OUT_OF_WATER_C * OUT_OF_WATER_MG_PER_L;
  }

  /**
   * Whether the odds are for water of which a part was changed, with water that had stood in air.
   *
   * @param roseMgPerL how far oxygen went up
   * @param toSaturationMgPerL how far it was to saturation; NaN where not known
   */
  static boolean isChangedWater(double roseMgPerL, double toSaturationMgPerL) {
    return roseMgPerL <= MOST_CHANGED * toSaturationMgPerL;
  }
}
