// SPDX-License-Identifier: Apache-2.0
package opercle.analysis.watch;

/**
 * Whether a fall that hardly comes of a lost supply may well be over soon: a bubble that leaves the
 * probe, foam, a parcel of other water that drifts past it. Such a fall is told, but wakes nobody
 * yet.
 *
 * <ul>
 *   <li>It has turned already: the newest reading is well above the lowest.
 *   <li>It is brief so far and faster than the load can breathe, or likeliest the probe's own
 *       affair. The water of a tank whose supply is lost falls no faster than its fish breathe
 *       (mass balance notes), less what the surface gives.
 *   <li>Its probe was first heard minutes ago: what it settles from looks like a fall.
 *   <li>Another trusted probe in the same water shows nothing of it, and goes on watching.
 * </ul>
 *
 * <p>A deep one is no such thing, whatever the reason. The figures are <i>common practice</i>.
 */
final class PassingDip {

  /** Over by then, seconds. */
  private static final double BRIEF_SECONDS = 60.0;

  /** The same for a probe first heard a few minutes ago, which may yet be settling. */
  private static final double SETTLING_SECONDS = 300.0;

  /** Hardly takes off so much, mg/L. */
  private static final double DEEP_MG_PER_L = 2.0;

  /** A reading so far above the lowest is no longer falling, standard deviations of the noise. */
  private static final double TURNED_SDS = 3.0;

  private PassingDip() {}

  static boolean isLikely(TankNow tank, OxygenProbe faller, Fall fall, Diagnosis diagnosis) {
    if (fall.dropMgPerL() >= DEEP_MG_PER_L) {
      return false;
    }
    if (faller.trend.newest() > fall.lowestMgPerL() + TURNED_SDS * faller.noise()) {
      return true;
    }
    double seconds = Micros.seconds(tank.now - fall.since());
    if (faller.isLearning() && seconds < SETTLING_SECONDS) {
      return true;
    }
    boolean brief = seconds < BRIEF_SECONDS;
    boolean tooFast = -faller.slopePerMinute() > tank.fastestPerMinute();
    return tank.isLevelElsewhere(faller) || (brief && (tooFast || diagnosis.isLikeliestTheProbe()));
  }
}
