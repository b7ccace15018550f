// SPDX-License-Identifier: Apache-2.0
package opercle.simulator.physics;

/**
 * Where a tank's oxygen came from and went, mg since the tank was built. Written by the tank's own
 * thread.
 */
public final class OxygenLedger {

  double absorbedMg;
  double surfaceMg;
  double breathedMg;
  double bacteriaMg;
  double exchangedMg;

  OxygenLedger() {}

  /** Taken up from bubbles; less what bubbles stripped. */
  public double absorbedMg() {
    return absorbedMg;
  }

  /** Gained through the surface; negative when more was lost. */
  public double surfaceMg() {
    return surfaceMg;
  }

  /** Breathed by the fish. */
  public double breathedMg() {
    return breathedMg;
  }

  /** Used by bacteria. */
  public double bacteriaMg() {
    return bacteriaMg;
  }

  /** Gained with changed water. */
  public double exchangedMg() {
    return exchangedMg;
  }

  /** All gains less all losses: what the water's content must have changed by. */
  public double netMg() {
    return absorbedMg + surfaceMg - breathedMg - bacteriaMg + exchangedMg;
  }
}
