// SPDX-License-Identifier: Apache-2.0
package opercle.simulator.physics;

/**
 * Water in three zones (over the diffuser, the bulk, the corner farthest away) with oxygen carried
 * between them. One thread only.
 *
 * <p>While gas runs, its plume drives water round the tank in a minute or two; without it only the
 * swimming fish stir. What leaves one zone arrives in another, so oxygen is conserved to rounding.
 */
final class TankWater {

  static final int PLUME = 0;
  static final int BULK = 1;
  static final int CORNER = 2;

  private static final double[] SHARE = {0.2, 0.6, 0.2};

  private final double[] volumeL = new double[3];
  private final double[] oxygen = new double[3];
  private final double plumeTurnSeconds;
  private final double fishTurnSeconds;

  /**
   * @param litres water without the fish, L
   * @param oxygenMgPerL the same in all zones to begin with
   * @param plumeTurnSeconds time in which the running plume moves the whole tank once, s
   * @param fishTurnSeconds the same by fish alone, s
   */
  TankWater(double litres, double oxygenMgPerL, double plumeTurnSeconds, double fishTurnSeconds) {
    for (int i = 0; i < 3; i++) {
      volumeL[i] = litres * SHARE[i];
      oxygen[i] = oxygenMgPerL;
    }
    this.plumeTurnSeconds = plumeTurnSeconds;
    this.fishTurnSeconds = fishTurnSeconds;
  }

  private TankWater(TankWater o) {
    System.arraycopy(o.volumeL, 0, volumeL, 0, 3);
    System.arraycopy(o.oxygen, 0, oxygen, 0, 3);
    plumeTurnSeconds = o.plumeTurnSeconds;
    fishTurnSeconds = o.fishTurnSeconds;
  }

  TankWater copy() {
    return new TankWater(this);
  }

  double litres() {
    return volumeL[0] + volumeL[1] + volumeL[2];
  }

  double litresOf(int zone) {
    return volumeL[zone];
  }

  double oxygenOf(int zone) {
    return oxygen[zone];
  }

  double meanMgPerL() {
    return massMg() / litres();
  }

  double massMg() {
    return oxygen[0] * volumeL[0] + oxygen[1] * volumeL[1] + oxygen[2] * volumeL[2];
  }

  /** Adds oxygen to a zone, or takes what is there; gives back what was added or taken, mg. */
  double add(int zone, double mg) {
    double taken = Math.max(-oxygen[zone] * volumeL[zone], mg);
    oxygen[zone] += taken / volumeL[zone];
    return taken;
  }

  /**
   * Replaces a share of the water in every zone.
   *
   * @return oxygen gained by it, mg
   */
  double exchange(double share, double freshMgPerL) {
    double before = massMg();
    for (int i = 0; i < 3; i++) {
      oxygen[i] += share * (freshMgPerL - oxygen[i]);
    }
    return massMg() - before;
  }

  /**
   * Stirs for a step of at most a second.
   *
   * @param plume how strongly gas stirs, 1 at the set flow
   * @param dead how much of the stirring reaches the corner, 1 all of it
   */
  void mix(double seconds, double plume, double dead) {
    double litres = litres();
    double moved = seconds * litres * (plume / plumeTurnSeconds + 1.0 / fishTurnSeconds);
    double toCorner = moved * 0.4 * dead;
    swap(PLUME, BULK, moved);
    swap(BULK, CORNER, toCorner);
    swap(CORNER, PLUME, 0.5 * toCorner);
  }

  /** Swaps a volume between two zones, at most half of the smaller. */
  private void swap(int a, int b, double volume) {
    double v = Math.min(volume, 0.5 * Math.min(volumeL[a], volumeL[b]));
    double carried = v * (oxygen[a] - oxygen[b]);
    oxygen[a] -= carried / volumeL[a];
    oxygen[b] += carried / volumeL[b];
  }
}
