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
 *       (mass balance notes), less what the surface gives. That holds for a fall that looks like a
 *       lost supply too, as long as no meter shows too little gas.
 *   <li>It is brief so far and a lost supply is not the likelier reason: for three minutes, or a
 *       tenth of the time in hand where that is short.
 *   <li>Its probe was first heard minutes ago, or jumped within the last half hour: what it settles
 *       from looks like a fall. That holds for a fall that looks like a lost supply too, for five
 *       minutes, or a third of the time in hand where that is short.
 *   <li>Of its water hardly anything was heard yet while it was quiet: see {@link #maySettleDown}.
 *       That holds for a fall that looks like a lost supply too, as long as there is time.
 *   <li>Another trusted probe in the same water shows nothing of it, and goes on watching: with
 *       less than four hours in hand for three minutes, or a third of it where that is short, for a
 *       probe may be blind without anything telling.
 * </ul>
 *
 * <p>A deep one is no such thing, whatever the reason. The figures are <i>common practice</i>.
 */
final class PassingDip {

  /** Over by then, seconds. */
  private static final double BRIEF_SECONDS = 60.0;

  private static final double BRIEF_SHARE = 1.0 / 3.0;

  /** The same where a lost supply is not the likelier reason. */
  private static final double UNLIKELY_LOSS_SECONDS = 180.0;

  private static final double UNLIKELY_LOSS_SHARE = 0.1;

  /** The same for a probe which may yet be settling. */
  static final double SETTLING_SECONDS = 300.0;

  private static final double SETTLING_SHARE = 1.0 / 3.0;

  /** Hardly takes off so much, mg/L. */
  private static final double DEEP_MG_PER_L = 2.0;

  /** A reading so far above the lowest is no longer falling, standard deviations of the noise. */
  private static final double TURNED_SDS = 3.0;

  private PassingDip() {}

  /**
   * Whether the probe may well be settling, and neither another probe nor a meter says that the
   * water loses its supply.
   *
   * @param time in hand as things go, against the keeper's response
   */
  static boolean isSettling(TankNow tank, OxygenProbe faller, Fall fall, TimeInHand time) {
    return faller.maySettle()
        && !tank.isFallingElsewhere(faller)
        && fall.dropMgPerL() < DEEP_MG_PER_L
        && !tank.supply().isShort()
        && seconds(tank, fall) < share(SETTLING_SECONDS, SETTLING_SHARE, time);
  }

  /**
   * Whether the water may well be on its way to where it will stand, and no meter speaks for a lost
   * supply. Whoever begins to listen has mostly just been at the tank: fish that were put in calm
   * down, a flow that was set finds its level. Nobody has seen this water quiet, so that a fall is
   * no change that was seen to begin.
   */
  static boolean maySettleDown(TankNow tank, OxygenProbe faller) {
    return faller.isInStrangeWater() && tank.isGasAsUsual();
  }

  /**
   * Whether a fall that hardly comes of a lost supply may be over soon.
   *
   * @param time in hand as things go, against the keeper's response
   */
  static boolean isLikely(
      TankNow tank, OxygenProbe faller, Fall fall, Diagnosis diagnosis, TimeInHand time) {
    if (fall.dropMgPerL() >= DEEP_MG_PER_L) {
      return false;
    }
    if (faller.trend.newest() > fall.lowestMgPerL() + TURNED_SDS * faller.noise()) {
      return true;
    }
    double seconds = seconds(tank, fall);
    if (diagnosis.supplyLost() < Diagnosis.LOST
        && seconds < share(UNLIKELY_LOSS_SECONDS, UNLIKELY_LOSS_SHARE, time)) {
      return true;
    }
    return tank.isLevelElsewhere(faller) || isBrief(tank, faller, fall, diagnosis, time);
  }

  /**
   * Whether a fall, be it like a lost supply, is brief so far and faster than the load can breathe
   * or likeliest the probe's own affair, while no meter shows too little gas.
   *
   * @param time in hand as things go, against the keeper's response
   */
  static boolean isBrief(
      TankNow tank, OxygenProbe faller, Fall fall, Diagnosis diagnosis, TimeInHand time) {
    boolean tooFast = -faller.slopePerMinute() > tank.fastestPerMinute();
    return fall.dropMgPerL() < DEEP_MG_PER_L
        && seconds(tank, fall) < share(BRIEF_SECONDS, BRIEF_SHARE, time)
        && (tooFast || diagnosis.isLikeliestTheProbe())
        && !tank.supply().isShort();
  }

  private static double seconds(TankNow tank, Fall fall) {
    return Micros.seconds(tank.now - fall.since());
  }

  /** So many seconds, or that share of the time in hand where it is less. */
  private static double share(double seconds, double share, TimeInHand time) {
    return Math.min(seconds, 60.0 * share * time.likelyMinutes().orElse(Double.POSITIVE_INFINITY));
  }
}
