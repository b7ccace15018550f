// SPDX-License-Identifier: Apache-2.0
package opercle.simulator.physics;

import opercle.analysis.farm.Tank;

/**
 * How much oxygen a stream of bubbles leaves in the water.
 *
 * <p>Absorbed share = (share absorbed by oxygen-free water at 20 °C) · α · 1.024^(T−20) · (C*gas −
 * C)/C*gas, the standard-to-field form of ASCE/EWRI 2 written for a gas stream, with C*gas the
 * saturation against the fed gas at the pressure of half the depth. It is driven by the deficit, so
 * no tank gets past what its gas can hold. Shares at zero oxygen, per metre: ceramic micro-bubble
 * 20–50 % at about 1 m; porous hose 3–7 % in a shallow transport tank (read), fine air stones 2–5 %
 * at 1 m, coarse holes 2–3.3 % per metre; α 0.7–0.95 in fish water (science notes; mostly from
 * memory). Where in the range a tank's diffuser lies is drawn by the seed.
 */
final class BubbleTransfer {

  /** Oxygen density at 15 °C and 101.325 kPa, mg/L. */
  static final double OXYGEN_MG_PER_L = 1354.0;

  static final double OXYGEN_IN_AIR = 0.20946;

  /**
   * Bubbles grow with the flow through a pore; how much transfer efficiency loses. Construction.
   */
  private static final double FLOW_EXPONENT = -0.2;

  private final double oxygenFraction;
  private double shareAtZero; // tuned once, while the tank is built
  private final double setLPerMin;

  BubbleTransfer(Tank.Supply supply, double depthM, Chance chance) {
    oxygenFraction = supply.gas() == Tank.Gas.OXYGEN ? 0.995 : OXYGEN_IN_AIR;
    setLPerMin = supply.flowLPerMin();
    double perMetre =
        switch (supply.diffuser()) {
          case CERAMIC -> chance.logBetween(0.25, 0.40);
          case POROUS_HOSE -> chance.logBetween(0.055, 0.085);
          case AIR_STONE -> chance.logBetween(0.035, 0.055);
          case PERFORATED_PIPE -> chance.logBetween(0.022, 0.033);
        };
    double alpha = chance.between(0.75, 0.95);
    shareAtZero = alpha * (1.0 - Math.exp(-perMetre * depthM));
  }

  /** Saturation against the fed gas, mg/L, from that against air at the pressure in the plume. */
  double gasSaturationMgPerL(double airSaturationInPlumeMgPerL) {
    return airSaturationInPlumeMgPerL * oxygenFraction / OXYGEN_IN_AIR;
  }

  /**
   * Takes the diffuser to be such as the set flow makes it, where that is within half and double of
   * what was drawn: a keeper who set the flow by trial has it about right. With pure oxygen a tenth
   * too much or too little is the difference between 20 and 5 mg/L.
   *
   * @param neededMgPerSecond what the tank uses at the level that the keeper wants
   */
  void tuneTo(
      double neededMgPerSecond,
      double wantedMgPerL,
      double temperatureFactor,
      double gasSaturationMgPerL) {
    double now = mgPerSecond(setLPerMin, 1.0, wantedMgPerL, temperatureFactor, gasSaturationMgPerL);
    if (now > 0.0) {
      shareAtZero *= Math.max(0.5, Math.min(2.0, neededMgPerSecond / now));
    }
  }

  /**
   * Oxygen that goes into the water, mg/s; negative when air strips supersaturated water.
   *
   * @param flowLPerMin gas through the diffuser, L/min at 15 °C
   * @param quality 1 for the diffuser as it is, less when bubbles have grown coarse
   * @param gasSaturationMgPerL see {@link #gasSaturationMgPerL}
   */
  double mgPerSecond(
      double flowLPerMin,
      double quality,
      double oxygenMgPerL,
      double temperatureFactor,
      double gasSaturationMgPerL) {
    if (flowLPerMin <= 0.0) {
      return 0.0;
    }
    double share =
        Math.min(
            0.95,
            shareAtZero
                * quality
                * temperatureFactor
                * Math.pow(Math.max(0.05, flowLPerMin / setLPerMin), FLOW_EXPONENT));
    double fedMgPerSecond = flowLPerMin / 60.0 * OXYGEN_MG_PER_L * oxygenFraction;
    return fedMgPerSecond * share * (gasSaturationMgPerL - oxygenMgPerL) / gasSaturationMgPerL;
  }
}
