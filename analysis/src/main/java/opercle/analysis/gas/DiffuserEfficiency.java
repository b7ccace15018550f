// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.gas;

import opercle.analysis.Band;
import opercle.analysis.farm.Tank.Diffuser;
import opercle.analysis.farm.Tank.Gas;

/**
 * Standard oxygen transfer efficiency (SOTE) of diffusers: the share of the oxygen fed that clean
 * water without oxygen takes up at 20 °C and 101.325 kPa.
 *
 * <p>Over the depth h it follows 1 − exp(−k·h): a bubble that has given half of its oxygen away has
 * half as much to give to the next metre. The constants k (1/m) below, all of low or medium
 * confidence, come from two kinds of figures:
 *
 * <ul>
 *   <li>deep clean water, per metre of depth: coarse bubbles 2–3 % (read), fine bubbles 4.4–8.7 %
 *       (read, and US EPA 1989 from memory); air stones 2–5 % in 1 m (from memory, low);
 *   <li>pure oxygen in a stocked tank, taken for water at air saturation and 10 °C and turned into
 *       SOTE with {@link Transfer}'s own factors: hose 3 / 5 / 7 % in 0.7 m (range read in a
 *       practice article, depth ours); ceramic micro-bubble plate 15 / 30 / 50 % in 1 m (20–50 %
 *       from memory, low; the lower bound stands for a plate that is fouled or driven too hard).
 * </ul>
 *
 * <p>In shallow tanks bubbles do better than in deep basins, where they rise with the plume they
 * make: an estimate from bubble size (5–8 mm from a pipe, 2–3 mm from a stone) sets the upper bound
 * of those two, and the hose's own figure that of hose with air.
 */
final class DiffuserEfficiency {

  private static final Band CERAMIC_OXYGEN = new Band(0.311, 0.580, 1.069);
  private static final Band CERAMIC_AIR = new Band(0.045, 0.065, 0.09);
  private static final Band HOSE = new Band(0.0799, 0.1109, 0.1403);
  private static final Band HOSE_AIR = new Band(0.045, 0.08, 0.14);
  private static final Band PIPE = new Band(0.015, 0.03, 0.07);
  private static final Band STONE = new Band(0.02, 0.04, 0.09);

  private DiffuserEfficiency() {}

  /** SOTE as a share, 0–1, of a diffuser under that much water; the caller checks the depth. */
  static Band share(Gas gas, Diffuser diffuser, double depthM) {
    Band perMetre = perMetre(gas, diffuser);
    return new Band(
        -Math.expm1(-perMetre.low() * depthM),
        -Math.expm1(-perMetre.likely() * depthM),
        -Math.expm1(-perMetre.high() * depthM));
  }

  private static Band perMetre(Gas gas, Diffuser diffuser) {
    return switch (diffuser) {
      case CERAMIC -> gas == Gas.OXYGEN ? CERAMIC_OXYGEN : CERAMIC_AIR;
      case POROUS_HOSE -> gas == Gas.OXYGEN ? HOSE : HOSE_AIR;
      case PERFORATED_PIPE -> PIPE;
      case AIR_STONE -> STONE;
    };
  }
}
